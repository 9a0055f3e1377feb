package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"encoding/asn1"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
)

// Sizes in bytes: a public key of P-256 as SubjectPublicKeyInfo (RFC 5480) with
// the point in full, and a signature, r and s one after the other (IEEE P1363).
const (
	publicSize = 91
	valueSize  = 64
)

// maxKeySize is the most bytes of a key's file that are looked at.
const maxKeySize = 100_000

// Kinds of PEM blocks (RFC 7468). A predecessor's has its public key and then its
// signature of the next one.
const (
	privateBlock     = "PRIVATE KEY"
	publicBlock      = "PUBLIC KEY"
	predecessorBlock = "BENCHLEAF PREDECESSOR"
)

// Key is a private key with the keys that it follows.
type Key struct {
	private *ecdsa.PrivateKey
	before  []Predecessor
}

// Public is a public key, as SubjectPublicKeyInfo in DER.
type Public []byte

// New makes a key. If it is to take another's place, that one signs it.
func New(after *Key) (*Key, error) {
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	k := &Key{private: private}
	if after == nil {
		return k, nil
	}
	if len(after.before) == maxBefore {
		return nil, fmt.Errorf("%d keys came before it already; at most %d can", maxBefore, maxBefore)
	}
	value, err := after.sign(keyMessage(k.Public()))
	k.before = append(append(k.before, after.before...), Predecessor{after.Public(), value})
	return k, err
}

// Follows tells whether the key took another one's place, or where that is nil no other's.
func (k *Key) Follows(old *Key) bool {
	if old == nil || len(k.before) == 0 {
		return old == nil && len(k.before) == 0
	}
	return bytes.Equal(k.before[len(k.before)-1].Key, old.Public())
}

// Public is the key that the world may know.
func (k *Key) Public() Public {
	der, err := x509.MarshalPKIXPublicKey(&k.private.PublicKey)
	if err != nil {
		panic(err) // every key of P-256 can be written
	}
	return der
}

// sign signs without chance (RFC 6979): a bad source of random numbers cannot
// give the key away, and the same edition gets the same signature.
func (k *Key) sign(message []byte) ([]byte, error) {
	sum := sha256.Sum256(message)
	der, err := k.private.Sign(nil, sum[:], crypto.SHA256)
	if err != nil {
		return nil, err
	}
	var value struct{ R, S *big.Int }
	if _, err := asn1.Unmarshal(der, &value); err != nil {
		return nil, err
	}
	both := make([]byte, valueSize)
	value.R.FillBytes(both[:valueSize/2])
	value.S.FillBytes(both[valueSize/2:])
	return both, nil
}

// key is nil where the bytes are no key of P-256 in its one full writing.
func (p Public) key() *ecdsa.PublicKey {
	if len(p) != publicSize {
		return nil
	}
	parsed, err := x509.ParsePKIXPublicKey(p)
	key, ok := parsed.(*ecdsa.PublicKey)
	if err != nil || !ok || key.Curve != elliptic.P256() {
		return nil
	}
	if again, err := x509.MarshalPKIXPublicKey(key); err != nil || !bytes.Equal(again, p) {
		return nil
	}
	return key
}

func (p Public) sound() bool { return p.key() != nil }

func (p Public) verify(message, value []byte) bool {
	key := p.key()
	if key == nil || len(value) != valueSize {
		return false
	}
	sum := sha256.Sum256(message)
	r, s := new(big.Int).SetBytes(value[:valueSize/2]), new(big.Int).SetBytes(value[valueSize/2:])
	return ecdsa.Verify(key, sum[:], r, s)
}

// PEM is the file of a private key.
func (k *Key) PEM() ([]byte, error) {
	der, err := x509.MarshalPKCS8PrivateKey(k.private)
	if err != nil {
		return nil, err
	}
	text := pem.EncodeToMemory(&pem.Block{Type: privateBlock, Bytes: der})
	for _, b := range k.before {
		text = append(text, pem.EncodeToMemory(&pem.Block{Type: predecessorBlock, Bytes: append(bytes.Clone(b.Key), b.Value...)})...)
	}
	return text, nil
}

// PEM is the file of a public key.
func (p Public) PEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: publicBlock, Bytes: p})
}

// blocks reads all blocks of a PEM file. Nothing else may stand in it.
func blocks(text []byte) ([]*pem.Block, error) {
	if len(text) > maxKeySize {
		return nil, fmt.Errorf("it is larger than %d bytes", maxKeySize)
	}
	var list []*pem.Block
	for rest := bytes.TrimSpace(text); len(rest) > 0; {
		if !bytes.HasPrefix(rest, []byte("-----BEGIN ")) {
			return nil, errors.New("it is no PEM file, or more than one")
		}
		var block *pem.Block
		if block, rest = pem.Decode(rest); block == nil {
			return nil, errors.New("it is cut off or damaged")
		}
		list, rest = append(list, block), bytes.TrimSpace(rest)
	}
	if len(list) == 0 {
		return nil, errors.New("it is empty")
	}
	return list, nil
}

// ReadKey reads the file of a private key.
func ReadKey(text []byte) (*Key, error) {
	list, err := blocks(text)
	if err != nil {
		return nil, err
	}
	switch first := list[0]; {
	case first.Type == publicBlock:
		return nil, errors.New("it is a public key; signing wants the private one")
	case first.Type != privateBlock:
		return nil, fmt.Errorf("it holds a block %q in the place of a private key", first.Type)
	}
	parsed, err := x509.ParsePKCS8PrivateKey(list[0].Bytes)
	if err != nil {
		return nil, errors.New("its private key is damaged, or of an unknown kind")
	}
	private, ok := parsed.(*ecdsa.PrivateKey)
	if !ok || private.Curve != elliptic.P256() {
		return nil, errors.New("its private key is none of P-256")
	}
	k := &Key{private: private}
	for _, block := range list[1:] {
		if block.Type != predecessorBlock || len(block.Bytes) != publicSize+valueSize {
			return nil, fmt.Errorf("its block %q is no predecessor of a key", block.Type)
		}
		k.before = append(k.before, Predecessor{block.Bytes[:publicSize:publicSize], block.Bytes[publicSize:]})
	}
	next := k.Public()
	for i := len(k.before) - 1; i >= 0; i-- {
		if !k.before[i].Key.verify(keyMessage(next), k.before[i].Value) {
			return nil, fmt.Errorf("its predecessor %d did not sign the key that follows", i+1)
		}
		next = k.before[i].Key
	}
	if len(k.before) > maxBefore {
		return nil, fmt.Errorf("it has more than %d predecessors", maxBefore)
	}
	return k, nil
}

// ReadPublic reads the file of a public key.
func ReadPublic(text []byte) (Public, error) {
	list, err := blocks(text)
	switch {
	case err != nil:
		return nil, err
	case list[0].Type == privateBlock:
		return nil, errors.New("it is a private key, which stays where it is; name its public one")
	case list[0].Type != publicBlock || len(list) > 1:
		return nil, errors.New("it is not one public key")
	case !Public(list[0].Bytes).sound():
		return nil, errors.New("its key is none of P-256")
	}
	return list[0].Bytes, nil
}
