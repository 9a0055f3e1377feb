package sign

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"strings"
	"testing"
)

func pemOf(t testing.TB, k *Key) []byte {
	t.Helper()
	text, err := k.PEM()
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// A key comes back from its file with all that came before it.
func TestKeyFile(t *testing.T) {
	k := newKey(t, newKey(t, newKey(t, nil)))
	text := pemOf(t, k)
	for _, written := range []string{string(text), "\n" + strings.ReplaceAll(string(text), "\n", "\r\n") + " "} {
		back, err := ReadKey([]byte(written))
		if err != nil {
			t.Fatal(err)
		}
		if a, b := signed(t, k, day), signed(t, back, day); !bytes.Equal(a, b) {
			t.Errorf("the key that was read signs\n%s\nthe one that was written\n%s", b, a)
		}
	}
	public, err := ReadPublic(k.Public().PEM())
	if err != nil || !bytes.Equal(public, k.Public()) {
		t.Errorf("%x (%v), want %x", public, err, k.Public())
	}
	if again, err := ReadKey(text[:bytes.Index(text, []byte("-----BEGIN BENCHLEAF"))]); err != nil || len(again.before) != 0 {
		t.Errorf("without those before it: %v", err)
	}
}

// TestFingerprint: SHA-256 of the key of RFC 6979, A.2.5, by
// `xxd -r -p | sha256sum` on its 91 bytes.
func TestFingerprint(t *testing.T) {
	public := publicOf(t, "60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6", "7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299")
	if got := public.Fingerprint(); got != "5a7a 78cc a4a0 f420 d9bc 62bb 669c 3c27" {
		t.Error(got)
	}
}

// TestKeyRefused: files that are no key, and why.
func TestKeyRefused(t *testing.T) {
	block := func(kind string, der []byte, err error) string {
		if err != nil {
			t.Fatal(err)
		}
		return string(pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der}))
	}
	pkcs8 := func(key any) string {
		der, err := x509.MarshalPKCS8PrivateKey(key)
		return block("PRIVATE KEY", der, err)
	}
	p384, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	_, ed, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	first := newKey(t, nil)
	good := string(pemOf(t, first))
	public := string(first.Public().PEM())
	next := pemOf(t, newKey(t, first))
	stranger := string(next[bytes.Index(next, []byte("-----BEGIN BENCHLEAF")):])
	sec1, err := x509.MarshalECPrivateKey(first.private)
	for _, c := range []struct{ name, text, want string }{
		{"nothing", " \n", "it is empty"},
		{"text", "my key", "it is no PEM file, or more than one"},
		{"text before it", "my key\n" + good, "it is no PEM file, or more than one"},
		{"text behind it", good + "my key", "it is no PEM file, or more than one"},
		{"cut off", good[:len(good)/2], "it is cut off or damaged"},
		{"large", good + strings.Repeat(" ", maxKeySize), "it is larger than 100000 bytes"},
		{"public", public, "it is a public key; signing wants the private one"},
		{"of another kind", block("EC PRIVATE KEY", sec1, err), `it holds a block "EC PRIVATE KEY" in the place of a private key`},
		{"bytes", block("PRIVATE KEY", []byte("abc"), nil), "its private key is damaged, or of an unknown kind"},
		{"of another curve", pkcs8(p384), "its private key is none of P-256"},
		{"of another algorithm", pkcs8(ed), "its private key is none of P-256"},
		{"two keys", good + good, `its block "PRIVATE KEY" is no predecessor of a key`},
		{"a short predecessor", good + block("BENCHLEAF PREDECESSOR", []byte("abc"), nil), `its block "BENCHLEAF PREDECESSOR" is no predecessor of a key`},
		{"another's predecessor", good + stranger, "its predecessor 1 did not sign the key that follows"},
	} {
		if _, err := ReadKey([]byte(c.text)); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
	der384, err := x509.MarshalPKIXPublicKey(&p384.PublicKey)
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "it is empty"},
		{"private", good, "it is a private key, which stays where it is; name its public one"},
		{"two", public + public, "it is not one public key"},
		{"of another curve", block("PUBLIC KEY", der384, err), "its key is none of P-256"},
	} {
		if _, err := ReadPublic([]byte(c.text)); err == nil || err.Error() != c.want {
			t.Errorf("a public key, %s: %v, want %s", c.name, err, c.want)
		}
	}
}
