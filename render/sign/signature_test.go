package sign

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/base64"
	"errors"
	"fmt"
	mathrand "math/rand/v2"
	"strings"
	"testing"
	"time"
)

var (
	day      = time.Date(2026, 11, 2, 9, 30, 0, 0, time.UTC)
	manifest = []byte(`{"format": 2, "title": "T", "parts": {"00": "2c26b46b68ffc68ff99b453c1d304134"}}` + "\n")
)

func newKey(t testing.TB, after *Key) *Key {
	t.Helper()
	k, err := New(after)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func signed(t testing.TB, k *Key, at time.Time) []byte {
	t.Helper()
	file, err := k.Sign(manifest, at)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// TestForm holds the file against its description in docs/signing.md.
func TestForm(t *testing.T) {
	k := newKey(t, nil)
	file := signed(t, k, day.In(time.FixedZone("", 3600)))
	value, err := k.sign([]byte("benchleaf edition 1\n2026-11-02T09:30:00Z\n" + string(manifest)))
	if err != nil {
		t.Fatal(err)
	}
	base64 := base64.StdEncoding.EncodeToString
	want := fmt.Sprintf("{\n \"form\": 1,\n \"key\": %q,\n \"signed\": \"2026-11-02T09:30:00Z\",\n \"signature\": %q,\n \"before\": []\n}\n", base64(k.Public()), base64(value))
	if string(file) != want {
		t.Errorf("%s\nwant\n%s", file, want)
	}
	next := newKey(t, k)
	statement, err := k.sign(append([]byte("benchleaf key 1\n"), next.Public()...))
	if err != nil {
		t.Fatal(err)
	}
	want = fmt.Sprintf(" \"before\": [\n  {\n   \"key\": %q,\n   \"signature\": %q\n  }\n ]\n}\n", base64(k.Public()), base64(statement))
	if file := signed(t, next, day); !strings.HasSuffix(string(file), want) {
		t.Errorf("%s\nwant at its end\n%s", file, want)
	}
}

// TestTrust walks a handbook's life: no signature, the first, the next key, and
// what a host may try in between.
func TestTrust(t *testing.T) {
	first, foreign := newKey(t, nil), newKey(t, nil)
	second := newKey(t, first)
	third := newKey(t, second)
	rival := newKey(t, first) // the first key was stolen, and names another
	pin := func(k *Key, days int) *Pin {
		return &Pin{k.Public(), day.AddDate(0, 0, days).Format(timeForm)}
	}
	at := func(k *Key, days int) []byte { return signed(t, k, day.AddDate(0, 0, days)) }
	spliced := func(k *Key, before ...Predecessor) []byte {
		return at(&Key{private: k.private, before: before}, 1)
	}
	for _, c := range []struct {
		name string
		file []byte
		pin  *Pin
		want *Pin
		err  error
	}{
		{"nobody signs", nil, nil, nil, nil},
		{"the first signature is taken", at(first, 0), nil, pin(first, 0), nil},
		{"a later edition", at(first, 1), pin(first, 0), pin(first, 1), nil},
		{"the same edition", at(first, 0), pin(first, 0), pin(first, 0), nil},
		{"the edition before, signed anew", at(first, 2), pin(first, 1), pin(first, 2), nil},
		{"the signature is left out", nil, pin(first, 0), nil, ErrUnsigned},
		{"an older edition", at(first, 0), pin(first, 1), nil, ErrOlder},
		{"a foreign key", at(foreign, 1), pin(first, 0), nil, ErrOtherKey},
		{"the next key", at(second, 1), pin(first, 0), pin(second, 1), nil},
		{"the key after the next", at(third, 1), pin(first, 0), pin(third, 1), nil},
		{"a key in the middle of the chain", at(third, 1), pin(second, 0), pin(third, 1), nil},
		{"the next key, but an older edition", at(second, 0), pin(first, 1), nil, ErrOlder},
		{"a chain at first sight", at(third, 1), nil, pin(third, 1), nil},
		{"back to the key before", at(first, 2), pin(second, 1), nil, ErrOtherKey},
		{"another that a stolen key names", at(rival, 2), pin(second, 1), nil, ErrOtherKey},
		{"a chain with a hole", spliced(third, second.before...), pin(first, 0), nil, ErrChanged},
		{"a chain to another key", spliced(foreign, second.before...), pin(first, 0), nil, ErrChanged},
		{"a chain to another key, at first sight", spliced(foreign, second.before...), nil, nil, ErrChanged},
		{"a chain in the wrong order", spliced(third, third.before[1], third.before[0]), pin(first, 0), nil, ErrChanged},
		{"any time", at(second, 0), &Pin{first.Public(), ""}, pin(second, 0), nil},
	} {
		got, err := Trust(manifest, c.file, c.pin)
		if !errors.Is(err, c.err) || (err == nil) != (c.err == nil) {
			t.Errorf("%s: %v, want %v", c.name, err, c.err)
		}
		if (got == nil) != (c.want == nil) || got != nil && (!bytes.Equal(got.Key, c.want.Key) || got.Signed != c.want.Signed) {
			t.Errorf("%s: keeps %v, want %v", c.name, got, c.want)
		}
	}
}

// TestFamilies lets any of a family of keys sign, for phones that know any of them:
// a phone follows those that descend from the key it knows, not back in time.
func TestFamilies(t *testing.T) {
	random := mathrand.New(mathrand.NewPCG(5, 6))
	keys, parent := []*Key{newKey(t, nil), newKey(t, nil)}, []int{-1, -1}
	for len(keys) < 12 {
		p := random.IntN(len(keys))
		keys, parent = append(keys, newKey(t, keys[p])), append(parent, p)
	}
	for range 400 {
		by, known, sooner := random.IntN(len(keys)), random.IntN(len(keys)), random.IntN(5)-2
		follows := false
		for k := by; k >= 0; k = parent[k] {
			follows = follows || k == known
		}
		want := ErrOtherKey
		switch {
		case follows && sooner <= 0:
			want = nil
		case follows:
			want = ErrOlder
		}
		held := &Pin{keys[known].Public(), day.Add(time.Duration(sooner) * time.Second).Format(timeForm)}
		pin, err := Trust(manifest, signed(t, keys[by], day), held)
		if err != want || err == nil && !bytes.Equal(pin.Key, keys[by].Public()) {
			t.Errorf("signed by %d, known %d, held one %d s later, parents %v: %v, want %v", by, known, sooner, parent, err, want)
		}
	}
}

// TestChanged changes each byte of a manifest and of its signature file: nothing
// passes, for who has the key and for who sees it first.
func TestChanged(t *testing.T) {
	k := newKey(t, newKey(t, nil))
	file := signed(t, k, day)
	random := mathrand.New(mathrand.NewPCG(1, 2))
	for _, pin := range []*Pin{nil, {k.Public(), ""}} {
		refused := func(what string, m, f []byte) {
			if got, err := Trust(m, f, pin); err == nil || got != nil {
				t.Errorf("%s: it is trusted, and %v kept", what, got)
			}
		}
		for i := range manifest {
			m := bytes.Clone(manifest)
			m[i] ^= byte(1 + random.IntN(255))
			refused(fmt.Sprintf("byte %d of the manifest", i), m, file)
		}
		for i := range file {
			f := bytes.Clone(file)
			f[i] ^= byte(1 + random.IntN(255))
			refused(fmt.Sprintf("byte %d of the signature", i), manifest, f)
			refused(fmt.Sprintf("the signature's first %d bytes", i), manifest, file[:i])
			refused(fmt.Sprintf("a byte more at %d of the signature", i), manifest, append(append(bytes.Clone(file[:i]), ' '), file[i:]...))
		}
		refused("a manifest cut off", manifest[:len(manifest)-1], file)
		refused("a manifest with more behind it", append(bytes.Clone(manifest), ' '), file)
		refused("an empty manifest", nil, file)
	}
}

// TestRefused: what is no signature file, and why.
func TestRefused(t *testing.T) {
	k := newKey(t, nil)
	file := string(signed(t, k, day))
	key := base64.StdEncoding.EncodeToString(k.Public())
	replaced := func(old, new string) string {
		if !strings.Contains(file, old) {
			t.Fatalf("no %q in it", old)
		}
		return strings.Replace(file, old, new, 1)
	}
	other, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	p384, err := x509.MarshalPKIXPublicKey(&other.PublicKey)
	if err != nil {
		t.Fatal(err)
	}
	off := bytes.Clone(k.Public()) // x and y of no point of the curve
	off[publicSize-1] ^= 1
	short := append(bytes.Clone(k.Public()[:publicSize-65]), make([]byte, 65)...) // the point at infinity, padded
	long := newKey(t, nil)
	for range maxBefore {
		long = newKey(t, long)
	}
	if _, err := Decode(signed(t, long, day)); err != nil {
		t.Errorf("the longest chain: %v", err)
	}
	if _, err := New(long); err == nil {
		t.Error("a chain without end is not refused")
	}
	longer := &Key{private: long.private, before: append([]Predecessor{long.before[0]}, long.before...)}
	for _, c := range []struct{ name, file, want string }{
		{"nothing", "", "it is cut off or no signature file"},
		{"a page", "<!doctype html>", "it is cut off or no signature file"},
		{"null", "null", "it is not written as a signature file is"},
		{"another thing", "{}\n", "it is not written as a signature file is"},
		{"lists in lists", strings.Repeat("[", MaxSize), "it is cut off or no signature file"},
		{"large", file + strings.Repeat(" ", MaxSize), "it is larger than 10000 bytes"},
		{"of a newer form", replaced(`"form": 1`, `"form": 2`), "it is of a newer form, 2; form 1 is known here"},
		{"of form 0", replaced(`"form": 1`, `"form": 0`), "it is not written as a signature file is"},
		{"a space more", replaced(`"form": 1`, `"form":  1`), "it is not written as a signature file is"},
		{"a key twice", replaced(` "form": 1,`, ` "form": 1,`+"\n"+` "form": 1,`), "it is not written as a signature file is"},
		{"an unknown key", replaced(` "form": 1,`, ` "form": 1,`+"\n"+` "more": 1,`), "it is not written as a signature file is"},
		{"in capitals", replaced(`"signed"`, `"SIGNED"`), "it is not written as a signature file is"},
		{"an escape", replaced(`"2026-11`, `"\u0032026-11`), "it is not written as a signature file is"},
		{"a byte order mark", "\xef\xbb\xbf" + file, "it is cut off or no signature file"},
		{"no list", replaced("[]", "null"), "it is not written as a signature file is"},
		{"no key", replaced(`"`+key+`"`, "null"), "its key 1 is none of P-256"},
		{"a key of another curve", replaced(key, base64.StdEncoding.EncodeToString(p384)), "its key 1 is none of P-256"},
		{"a point off the curve", replaced(key, base64.StdEncoding.EncodeToString(off)), "its key 1 is none of P-256"},
		{"no point", replaced(key, base64.StdEncoding.EncodeToString(short)), "its key 1 is none of P-256"},
		{"a point without its other coordinate", replaced(key, base64.StdEncoding.EncodeToString(append(bytes.Clone(k.Public()[:26]), k.Public()[27:59]...))), "its key 1 is none of P-256"},
		{"a day that does not exist", replaced("2026-11-02", "2026-02-30"), `its time "2026-02-30T09:30:00Z" is none`},
		{"a time of another zone", replaced("09:30:00Z", "09:30:00+01:00"), `its time "2026-11-02T09:30:00+01:00" is none`},
		{"a part of a second", replaced("09:30:00Z", "09:30:00.5Z"), `its time "2026-11-02T09:30:00.5Z" is none`},
		{"a year of five digits", replaced("2026-", "12026-"), `its time "12026-11-02T09:30:00Z" is none`},
		{"too long a chain", string(signed(t, longer, day)), "it has more than 16 keys"},
		{"an ASN.1 signature", replaced(`"signature": "`, `"signature": "MEUC`), `its signature 1 has 67 bytes, not 64`},
	} {
		_, err := Decode([]byte(c.file))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
		if _, err := Trust(manifest, []byte(c.file), nil); !errors.Is(err, ErrChanged) {
			t.Errorf("%s: %v, want ErrChanged", c.name, err)
		}
	}
}

// A signature of one kind is none of the other, and one of the bare manifest is none.
func TestKindsAreApart(t *testing.T) {
	k, victim := newKey(t, nil), newKey(t, nil)
	value, err := k.sign(manifest)
	if err != nil {
		t.Fatal(err)
	}
	bare := Signature{Form: 1, Key: k.Public(), Signed: day.Format(timeForm), Value: value, Before: []Predecessor{}}
	if _, err := Trust(manifest, bare.encode(), nil); !errors.Is(err, ErrChanged) {
		t.Errorf("a bare signature: %v", err)
	}
	// An author is made to sign a manifest that is a key's statement.
	file, err := victim.Sign(keyMessage(k.Public()), day)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	k.before = []Predecessor{{victim.Public(), s.Value}}
	if _, err := Trust(manifest, signed(t, k, day), &Pin{victim.Public(), ""}); !errors.Is(err, ErrChanged) {
		t.Errorf("an edition's signature as a statement on a key: %v", err)
	}
}

// FuzzDecode: what is read is written back to the byte, and bytes that are not
// what was signed are never trusted.
func FuzzDecode(f *testing.F) {
	k := newKey(f, newKey(f, nil))
	good := signed(f, k, day)
	for _, seed := range [][]byte{good, good[:len(good)/2], []byte("null"), []byte("{}\n"), bytes.ReplaceAll(good, []byte("[]"), []byte("null"))} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		s, err := Decode(file)
		if err == nil && !bytes.Equal(s.encode(), file) {
			t.Errorf("written back it is\n%s", s.encode())
		}
		if _, err := Trust(manifest, file, &Pin{k.Public(), ""}); err == nil && !bytes.Equal(file, good) {
			t.Errorf("trusted:\n%s", file)
		}
	})
}
