package phone

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	mathrand "math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/evanw/esbuild/pkg/api"

	"benchleaf/render/sign"
)

// trustCase is an edition's manifest and signature file, and what a phone keeps.
type trustCase struct {
	Name      string
	Manifest  []byte
	Signature []byte // null where there is none
	Pinned    *trustPin
}

type trustPin struct {
	Key    sign.Public `json:"key"`
	Signed string      `json:"signed"`
}

// trustResult is what trusted gives.
type trustResult struct {
	OK  bool      `json:"ok"`
	Pin *trustPin `json:"pin"`
	By  string    `json:"by"`
	Why string    `json:"why"`
}

// inBuild is what the build says of a case.
func (c *trustCase) inBuild() trustResult {
	var pin *sign.Pin
	if c.Pinned != nil {
		pin = &sign.Pin{Key: c.Pinned.Key, Signed: c.Pinned.Signed}
	}
	got, err := sign.Trust(c.Manifest, c.Signature, pin)
	for why, is := range map[string]error{"unsigned": sign.ErrUnsigned, "other-key": sign.ErrOtherKey, "changed": sign.ErrChanged, "older": sign.ErrOlder} {
		if errors.Is(err, is) {
			return trustResult{Why: why}
		}
	}
	if got == nil {
		return trustResult{OK: true}
	}
	return trustResult{OK: true, Pin: &trustPin{got.Key, got.Signed}, By: got.Key.Fingerprint()}
}

// trusting opens a page that has the worker's trust, and nothing else.
func trusting(t *testing.T) *tab {
	t.Helper()
	source, err := os.ReadFile("../../theme/worker/trust.ts")
	if err != nil {
		t.Fatal(err)
	}
	js := api.Transform(string(source), api.TransformOptions{Loader: api.LoaderTS, Format: api.FormatIIFE, GlobalName: "trust"})
	if len(js.Errors) > 0 {
		t.Fatal(js.Errors)
	}
	host := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		_, _ = io.WriteString(w, `<!doctype html><title>T</title><link rel="icon" href="data:,">`)
	}))
	t.Cleanup(host.Close)
	b := open(t, host.URL)
	b.goTo(host.URL)
	eval[bool](b, string(js.Code)+`
		globalThis.trust = trust;
		globalThis.bytes = (text) => text === null ? null : Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
		true`)
	return b
}

func signedBy(t *testing.T, k *sign.Key, manifest []byte, at time.Time) []byte {
	t.Helper()
	file, err := k.Sign(manifest, at)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func madeKey(t *testing.T, after *sign.Key) *sign.Key {
	t.Helper()
	k, err := sign.New(after)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// TestTrustIsThatOfTheBuild: what the build signs is judged alike by the build and
// by the phone, whatever happens to it on the way.
func TestTrustIsThatOfTheBuild(t *testing.T) {
	t.Parallel()
	b := trusting(t)
	first := madeKey(t, nil)
	second, foreign := madeKey(t, first), madeKey(t, nil)
	manifest := []byte(`{"format": 2, "title": "Größe", "parts": {"00": "2c26b46b68ffc68ff99b453c1d304134"}}` + "\n")
	at := time.Date(2026, 11, 2, 9, 30, 0, 0, time.UTC)
	file, next := signedBy(t, first, manifest, at), signedBy(t, second, manifest, at.Add(time.Hour))
	held := &trustPin{first.Public(), "2026-11-02T09:30:00Z"}
	late := &trustPin{first.Public(), "2026-11-02T10:30:01Z"}
	cases := []trustCase{
		{"nobody signs", manifest, nil, nil},
		{"left out", manifest, nil, held},
		{"first sight", manifest, file, nil},
		{"the same", manifest, file, held},
		{"the next key", manifest, next, held},
		{"the next key at first sight", manifest, next, nil},
		{"older", manifest, file, late},
		{"older by the next key", manifest, next, late},
		{"back to the key before", manifest, file, &trustPin{second.Public(), "2026-11-02T09:00:00Z"}},
		{"foreign", manifest, signedBy(t, foreign, manifest, at.Add(time.Hour)), held},
		{"of another manifest", manifest[1:], file, held},
	}
	other, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	p384, err := x509.MarshalPKIXPublicKey(&other.PublicKey)
	if err != nil {
		t.Fatal(err)
	}
	text := base64.StdEncoding.EncodeToString
	off := bytes.Clone(first.Public())
	off[90] ^= 1
	key := text(first.Public())
	for _, edit := range []struct{ old, new string }{
		{`"form": 1`, `"form": 2`}, {`"form": 1`, `"form": 1.0`}, {`"form": 1`, `"form": true`}, {`"form": 1`, `"form":  1`},
		{` "form": 1,`, " \"form\": 1,\n \"form\": 1,"}, {` "form": 1,`, " \"form\": 1,\n \"more\": 1,"}, {`"signed"`, `"SIGNED"`},
		{`"2026-11`, `"\u0032026-11`}, {"{", "\xef\xbb\xbf{"}, {"{", "\xff{"}, {"{", "[{"}, {"[]", "null"}, {"[]", `""`}, {"[]", `"ab"`}, {"[]", "[null]"}, {"[]", "{}"}, {"[]", "[[]]"},
		{`"` + key + `"`, "null"}, {`"` + key + `"`, "5"}, {key, ""}, {key, key + "\\n"}, {key, text(p384)}, {key, text(off)}, {key, text(foreign.Public())},
		{key, text(append(bytes.Clone(first.Public()[:26]), first.Public()[27:59]...))},
		{"2026-11-02", "2026-02-30"}, {"2026-11-02", "0000-01-01"}, {"2026-", "+012026-"}, {"2026-", "12026-"}, {"09:30:00Z", "09:30:00.000Z"}, {"09:30:00Z", "24:00:00Z"}, {"09:30:00Z", "23:59:60Z"}, {"09:30:00Z", "09:30:01Z"},
		{`"2026-11-02T09:30:00Z"`, "1762075800000"}, {`"2026-11-02T09:30:00Z"`, "null"}, {`"signature": "`, `"signature": "MEUC`}, {"\n}\n", "\n}"}, {"\n}\n", "\n}\n\n"}, {"\n}\n", "\n}\r\n"},
		{"{", strings.Repeat("[", 10_001)}, {"{", strings.Repeat("[", 9_000)}, {"\n}\n", "\n}\n" + strings.Repeat(" ", 10_000)},
	} {
		if !bytes.Contains(file, []byte(edit.old)) {
			t.Fatalf("no %q in the file", edit.old)
		}
		edited := bytes.Replace(file, []byte(edit.old), []byte(edit.new), 1)
		cases = append(cases, trustCase{fmt.Sprintf("%.40q in the place of %.40q", edit.new, edit.old), manifest, edited, nil})
	}
	// Bytes anywhere, in the manifest and in the longer of the files.
	random := mathrand.New(mathrand.NewPCG(3, 4))
	for i := range manifest {
		m := bytes.Clone(manifest)
		m[i] ^= byte(1 + random.IntN(255))
		cases = append(cases, trustCase{fmt.Sprintf("byte %d of the manifest", i), m, next, held})
	}
	for i := range next {
		f := bytes.Clone(next)
		f[i] ^= byte(1 + random.IntN(255))
		cases = append(cases, trustCase{fmt.Sprintf("byte %d of the signature", i), manifest, f, held},
			trustCase{fmt.Sprintf("%d bytes of the signature", i), manifest, next[:i], nil})
	}
	input, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	got := eval[[]trustResult](b, fmt.Sprintf(`Promise.all(%s.map((c) =>
		trust.trusted(bytes(c.Manifest), bytes(c.Signature), c.Pinned)))`, input))
	passed := 0
	for i, c := range cases {
		want, _ := json.Marshal(c.inBuild())
		if have, _ := json.Marshal(got[i]); !bytes.Equal(have, want) {
			t.Errorf("%s: the phone says %s, the build %s", c.Name, have, want)
		}
		if got[i].OK {
			passed++
		}
	}
	if passed != 5 {
		t.Errorf("%d of %d cases are trusted, want the first, those of first sight, the same and the next key", passed, len(cases))
	}
}

// TestPhoneSigns: keys and signatures of the browser's own hold in the build, in
// the form that docs/signing.md describes.
func TestPhoneSigns(t *testing.T) {
	t.Parallel()
	b := trusting(t)
	files := eval[[]string](b, `(async () => {
		const ecdsa = {name: "ECDSA", namedCurve: "P-256", hash: "SHA-256"};
		const text = (b) => btoa(String.fromCharCode(...new Uint8Array(b)));
		const make = async () => {
			const pair = await crypto.subtle.generateKey(ecdsa, true, ["sign", "verify"]);
			const spki = await crypto.subtle.exportKey("spki", pair.publicKey);
			return {spki, sign: async (...parts) => text(await crypto.subtle.sign(ecdsa, pair.privateKey, await new Blob(parts).arrayBuffer()))};
		};
		const files = [];
		for (let i = 0; i < 20; i++) {
			const [old, own] = [await make(), await make()];
			files.push(JSON.stringify({
				form: 1, key: text(own.spki), signed: "2026-11-02T09:30:00Z",
				signature: await own.sign("benchleaf edition 1\n2026-11-02T09:30:00Z\n", "{\"manifest\": "+i+"}"),
				before: [{key: text(old.spki), signature: await old.sign("benchleaf key 1\n", own.spki)}],
			}, null, 1) + "\n");
		}
		return files;
	})()`)
	for i, file := range files {
		s, err := sign.Decode([]byte(file))
		if err != nil {
			t.Fatalf("%v\n%s", err, file)
		}
		pin, err := sign.Trust(fmt.Appendf(nil, `{"manifest": %d}`, i), []byte(file), &sign.Pin{Key: s.Before[0].Key})
		if err != nil || !bytes.Equal(pin.Key, s.Key) {
			t.Errorf("%v\n%s", err, file)
		}
		if _, err := sign.Trust(fmt.Appendf(nil, `{"manifest": %d}`, i+1), []byte(file), nil); !errors.Is(err, sign.ErrChanged) {
			t.Errorf("another manifest: %v", err)
		}
	}
}
