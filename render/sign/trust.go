package sign

import (
	"bytes"
	"errors"
	"fmt"
)

// Why an edition is not trusted.
var (
	// ErrUnsigned: no signature, where there was one before.
	ErrUnsigned = errors.New("it is not signed")
	// ErrChanged: the signature is not one of this manifest, or is damaged.
	ErrChanged = errors.New("its signature does not hold")
	// ErrOtherKey: signed, but not by the key that is trusted, nor by one that
	// follows it.
	ErrOtherKey = errors.New("it is signed by another key")
	// ErrOlder: signed before what is held already.
	ErrOlder = errors.New("it was signed before the edition that is held")
)

// Pin is what is known from the edition that is held: who signed it, and when.
type Pin struct {
	Key    Public
	Signed string // empty where any time will do
}

// Trust judges an edition by its manifest and its signature file, which is nil
// where there is none. It returns the pin to keep from then on: nil while nobody
// signs. Whoever has no pin takes the key that comes first; who has one takes no
// other, but one that it names, or that is named by one that it names, and no
// edition that was signed before the one that is held.
func Trust(manifest, file []byte, pin *Pin) (*Pin, error) {
	if file == nil {
		if pin != nil {
			return nil, ErrUnsigned
		}
		return nil, nil
	}
	s, err := Decode(file)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrChanged, err)
	}
	if !s.holds(manifest) {
		return nil, ErrChanged
	}
	switch {
	case pin == nil:
	case !s.follows(pin.Key):
		return nil, ErrOtherKey
	case s.Signed < pin.Signed:
		return nil, ErrOlder
	}
	return &Pin{s.Key, s.Signed}, nil
}

// follows tells whether a key signed, or came before the one that did.
func (s *Signature) follows(key Public) bool {
	for _, b := range s.Before {
		if bytes.Equal(b.Key, key) {
			return true
		}
	}
	return bytes.Equal(s.Key, key)
}
