// Package sign makes and checks the signature of an edition, manifest.sig: that
// of the bytes of its manifest, which has the digests of all other files.
//
// In: keys, manifests, signature files and what is trusted so far. Out: signature
// files, and whether an edition is to be trusted. theme/worker/trust.ts says the
// same on a phone, to the letter; a test holds the two together.
// It imports nothing of the project.
package sign

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"time"
)

// MaxSize is the most bytes of a signature file that are looked at.
const MaxSize = 10_000

// maxBefore is how many keys may have come before the one that signs.
const maxBefore = 16

// What a key signs begins with what it is, so that a signature of one kind is
// never one of the other.
const (
	editionPrefix = "benchleaf edition 1\n"
	keyPrefix     = "benchleaf key 1\n"
)

// A Signature is what a signature file says.
type Signature struct {
	Form   int    `json:"form"` // 1
	Key    Public `json:"key"`
	Signed string `json:"signed"` // when, to the second in UTC; later editions are signed later
	Value  []byte `json:"signature"`
	// Before has the keys that came before Key, the oldest first.
	Before []Predecessor `json:"before"`
}

// A Predecessor is a key, and its signature of the key that took its place.
type Predecessor struct {
	Key   Public `json:"key"`
	Value []byte `json:"signature"`
}

// timeForm sorts as text as it does in time.
const timeForm = "2006-01-02T15:04:05Z"

// Sign signs a manifest, as of an instant, and returns the signature file.
func (k *Key) Sign(manifest []byte, at time.Time) ([]byte, error) {
	s := Signature{Form: 1, Key: k.Public(), Signed: at.UTC().Format(timeForm), Before: append([]Predecessor{}, k.before...)}
	value, err := k.sign(editionMessage(s.Signed, manifest))
	if err != nil {
		return nil, err
	}
	s.Value = value
	return s.encode(), nil
}

func editionMessage(signed string, manifest []byte) []byte {
	return append([]byte(editionPrefix+signed+"\n"), manifest...)
}

func keyMessage(next Public) []byte {
	return append([]byte(keyPrefix), next...)
}

// encode writes the file in the only way that Decode reads.
func (s *Signature) encode() []byte {
	text, err := json.MarshalIndent(s, "", " ")
	if err != nil {
		panic(err) // there is nothing in it that cannot be written
	}
	return append(text, '\n')
}

// Decode reads a signature file. It judges the form and the keys, not yet the
// signatures. Whatever is not written as Sign writes it is refused: then no two
// readers can take the same bytes in different ways.
func Decode(file []byte) (*Signature, error) {
	if len(file) > MaxSize {
		return nil, fmt.Errorf("it is larger than %d bytes", MaxSize)
	}
	var s Signature
	if err := json.Unmarshal(file, &s); err != nil {
		return nil, fmt.Errorf("it is cut off or no signature file: %w", err)
	}
	if s.Form > 1 {
		return nil, fmt.Errorf("it is of a newer form, %d; form 1 is known here", s.Form)
	}
	if s.Before == nil {
		s.Before = []Predecessor{}
	}
	at, err := time.Parse(timeForm, s.Signed)
	switch {
	case s.Form != 1 || !bytes.Equal(s.encode(), file):
		return nil, fmt.Errorf("it is not written as a signature file is")
	case err != nil || at.Format(timeForm) != s.Signed:
		return nil, fmt.Errorf("its time %q is none", s.Signed)
	case len(s.Before) > maxBefore:
		return nil, fmt.Errorf("it has more than %d keys", maxBefore)
	}
	for i, b := range append(s.Before, Predecessor{s.Key, s.Value}) {
		switch {
		case !b.Key.sound():
			return nil, fmt.Errorf("its key %d is none of P-256", i+1)
		case len(b.Value) != valueSize:
			return nil, fmt.Errorf("its signature %d has %d bytes, not %d", i+1, len(b.Value), valueSize)
		}
	}
	return &s, nil
}

// holds tells whether every signature of the file holds: that of the manifest,
// and that by which each key names the next.
func (s *Signature) holds(manifest []byte) bool {
	next := s.Key
	for i := len(s.Before) - 1; i >= 0; i-- {
		if !s.Before[i].Key.verify(keyMessage(next), s.Before[i].Value) {
			return false
		}
		next = s.Before[i].Key
	}
	return s.Key.verify(editionMessage(s.Signed, manifest), s.Value)
}

// Fingerprint is the first 128 bits of SHA-256 of a key, as somebody reads them
// out: hexadecimal, in groups of four.
func (p Public) Fingerprint() string {
	sum := sha256.Sum256(p)
	var b []byte
	for i := 0; i < 16; i += 2 {
		b = fmt.Appendf(b, " %x", sum[i:i+2])
	}
	return string(b[1:])
}
