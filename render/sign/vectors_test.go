package sign

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"encoding/hex"
	"os"
	"regexp"
	"strings"
	"testing"
)

func bytesOf(t testing.TB, digits string) []byte {
	t.Helper()
	b, err := hex.DecodeString(digits)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// publicOf is the key of a point: RFC 5480, section 2, before the coordinates.
func publicOf(t testing.TB, x, y string) Public {
	t.Helper()
	return bytesOf(t, "3059301306072a8648ce3d020106082a8648ce3d03010703420004"+x+y)
}

// TestPublishedSignatures: RFC 6979, appendix A.2.5, P-256 with SHA-256. It gives
// the private key, the public one, and the signatures of two messages as they are
// when the nonce is drawn from key and message, as it is here.
func TestPublishedSignatures(t *testing.T) {
	private, err := ecdsa.ParseRawPrivateKey(elliptic.P256(), bytesOf(t, "C9AFA9D845BA75166B5C215767B1D6934E50C3DB36E89B127B8A622B120F6721"))
	if err != nil {
		t.Fatal(err)
	}
	k := &Key{private: private}
	public := publicOf(t, "60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6", "7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299")
	if !bytes.Equal(k.Public(), public) {
		t.Errorf("public key\n%x, want\n%x", k.Public(), public)
	}
	for message, want := range map[string]string{
		"sample": "EFD48B2AACB6A8FD1140DD9CD45E81D69D2C877B56AAF991C34D0EA84EAF3716" + "F7CB1C942D657C41D436C7A1B6E29F65F3E900DBB9AFF4064DC4AB2F843ACDA8",
		"test":   "F1ABB023518351CD71D881567B1EA663ED3EFCF6C5132B354F28D3B0B7D38367" + "019F4113742A2B14BD25926B49C649155F267E60D3814B4C0CC84250E46F0083",
	} {
		value, err := k.sign([]byte(message))
		if err != nil || !bytes.Equal(value, bytesOf(t, want)) {
			t.Errorf("%q: %x (%v), want %s", message, value, err, want)
		}
		if !public.verify([]byte(message), bytesOf(t, want)) {
			t.Errorf("%q: the published signature does not hold", message)
		}
	}
}

// TestPublishedJudgements: the cases of NIST for verifying. Twelve of the fifteen
// were changed in message, signature or key.
func TestPublishedJudgements(t *testing.T) {
	text, err := os.ReadFile("testdata/SigVer.rsp")
	if err != nil {
		t.Fatal(err)
	}
	field := regexp.MustCompile(`(?m)^(\w+) = (.*)$`)
	cases := strings.Split(strings.TrimSpace(string(text)), "\n\n")[2:]
	if len(cases) != 15 {
		t.Fatalf("%d cases, want 15", len(cases))
	}
	for _, c := range cases {
		f := map[string]string{}
		for _, m := range field.FindAllStringSubmatch(c, -1) {
			f[m[1]] = m[2]
		}
		key := publicOf(t, f["Qx"], f["Qy"])
		holds := key.verify(bytesOf(t, f["Msg"]), bytesOf(t, f["R"]+f["S"]))
		if want := strings.HasPrefix(f["Result"], "P"); holds != want {
			t.Errorf("%s: holds is %v", f["Result"], holds)
		}
	}
}
