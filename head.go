package sootline

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"strconv"
)

// Head is the end of a station's chain in a site's log: the number and the hash
// of its last line. The hash covers every line before it.
type Head struct {
	Station string `json:"station"`
	Seq     int64  `json:"seq"`
	Hash    Hash   `json:"hash"`
}

// Key is the public half of the pair with which a station signs the heads of its
// chain in one site's log (Ed25519, RFC 8032).
type Key [ed25519.PublicKeySize]byte

// String gives the 43 characters of base64url.
func (k Key) String() string { return base64.RawURLEncoding.EncodeToString(k[:]) }

// Secret is the seed from which the pair follows (RFC 8032, section 5.1.5).
type Secret [ed25519.SeedSize]byte

// Key gives the public half.
func (s Secret) Key() Key {
	return Key(ed25519.NewKeyFromSeed(s[:])[ed25519.SeedSize:]) // RFC 8032: a private key is its seed, then its public key
}

// SignedHead is a head of a site's log, signed with the station's key.
type SignedHead struct {
	Site ID
	Head
	Key Key
	Sig [ed25519.SignatureSize]byte
}

// headDomain begins what is signed, so that no signature of a head can be taken
// for one of something else.
const headDomain = "sootline head 1\n"

// signedText is what is signed: the domain, then site, number, hash and station,
// each as an export spells it but for the station, which stands as it is; it
// comes last, so that no two heads give the same text.
func signedText(site ID, h Head) []byte {
	text := append([]byte(headDomain), site.append(nil)...)
	text = strconv.AppendInt(append(text, '\n'), h.Seq, 10)
	text = h.Hash.append(append(text, '\n'))
	return append(append(text, '\n'), h.Station...)
}

// Sign signs the head of a station's chain in a site's log.
func (s Secret) Sign(site ID, h Head) SignedHead {
	sig := ed25519.Sign(ed25519.NewKeyFromSeed(s[:]), signedText(site, h))
	return SignedHead{Site: site, Head: h, Key: s.Key(), Sig: [ed25519.SignatureSize]byte(sig)}
}

// Genuine reports whether the signature is the key's own. Whose the key is it
// cannot say.
func (h *SignedHead) Genuine() bool {
	return ed25519.Verify(h.Key[:], signedText(h.Site, h.Head), h.Sig[:])
}

// AppendHeadLine writes the line by which an export ends, one for each station,
// without the line feed, after dst.
func AppendHeadLine(dst []byte, h *SignedHead) []byte {
	dst = h.Site.append(append(dst, `{"head":{"site":"`...))
	dst = appendString(append(dst, `","station":`...), h.Station)
	dst = strconv.AppendInt(append(dst, `,"seq":`...), h.Seq, 10)
	dst = h.Hash.append(append(dst, `,"hash":"`...))
	dst = base64.RawURLEncoding.AppendEncode(append(dst, `","key":"`...), h.Key[:])
	dst = base64.RawURLEncoding.AppendEncode(append(dst, `","sig":"`...), h.Sig[:])
	return append(dst, `"}}`...)
}

// IsHeadLine tells a head's line from an entry's.
func IsHeadLine(line []byte) bool { return bytes.HasPrefix(line, []byte(`{"head":`)) }

// ParseHeadLine reads what AppendHeadLine writes, and no other spelling.
func ParseHeadLine(line []byte) (SignedHead, error) {
	var h SignedHead
	s := scanner{rest: line, parser: new(Parser)}
	s.word(`{"head":{"site":"`)
	s.id(&h.Site)
	s.word(`","station":`)
	h.Station = s.text()
	s.word(`,"seq":`)
	h.Seq = s.integer()
	s.word(`,"hash":"`)
	s.hash(&h.Hash)
	s.word(`","key":"`)
	s.base64(h.Key[:])
	s.word(`","sig":"`)
	s.base64(h.Sig[:])
	s.word(`"}}`)
	if s.err == nil && len(s.rest) > 0 {
		s.fail("the end of the line")
	}
	if s.err == nil && h.Seq < 1 {
		s.fail("a number from 1")
	}
	return h, s.err
}

// base64 reads exactly as many bytes as there is room for.
func (s *scanner) base64(into []byte) {
	size := base64.RawURLEncoding.EncodedLen(len(into))
	if len(s.rest) < size {
		s.fail("base64url")
		return
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(string(s.rest[:size]))
	if err != nil || len(raw) != len(into) { // it passes over line ends
		s.fail("base64url")
		return
	}
	copy(into, raw)
	s.rest = s.rest[size:]
}

// Witness is a body that names the heads of chains, such as [Pinned].
type Witness interface{ Pins() []Head }

// Pin is a head, and the entry that names it.
type Pin struct {
	Head
	Entry *Entry
}

// PinsOf gives what an entry pins, as it was written: that it was withdrawn does
// not undo what its writer saw.
func PinsOf(e *Entry) []Pin {
	witness, ok := e.Body.(Witness)
	if !ok {
		return nil
	}
	var pins []Pin
	for _, head := range witness.Pins() {
		pins = append(pins, Pin{head, e})
	}
	return pins
}

// GatherPins gives every pin of a log; see [PinsOf].
func GatherPins(entries []Entry) []Pin {
	var pins []Pin
	for i := range entries {
		pins = append(pins, PinsOf(&entries[i])...)
	}
	return pins
}
