package attack

import (
	"crypto/ecdh"
	"crypto/rand"
	"strings"
	"testing"
)

// Keys as the age format has them (C2SP, age.md, "The X25519 recipient type"), made without its library.

// ageKey makes a recipient and the file of its identity in the box.
func (b *box) ageKey(name string) (recipient, identity string) {
	b.t.Helper()
	key, err := ecdh.X25519().GenerateKey(rand.Reader)
	if err != nil {
		b.t.Fatal(err)
	}
	secret := strings.ToUpper(bech32("age-secret-key-", key.Bytes()))
	return bech32("age", key.PublicKey().Bytes()), b.write(name, "# made by a test\n"+secret+"\n")
}

const bech32Letters = "qpzry9x8gf2tvdw0s3jn54khce6mua7l"

// bech32 is BIP 173, "Bech32".
func bech32(prefix string, data []byte) string {
	var fives []byte
	bits, held := 0, 0
	for _, c := range data {
		held, bits = held<<8|int(c), bits+8
		for ; bits >= 5; bits -= 5 {
			fives = append(fives, byte(held>>(bits-5)&31))
		}
	}
	if bits > 0 {
		fives = append(fives, byte(held<<(5-bits)&31))
	}
	var expanded []byte
	for _, c := range []byte(prefix) {
		expanded = append(expanded, c>>5)
	}
	expanded = append(expanded, 0)
	for _, c := range []byte(prefix) {
		expanded = append(expanded, c&31)
	}
	sum := polymod(append(append(expanded, fives...), make([]byte, 6)...)) ^ 1
	for i := range 6 {
		fives = append(fives, byte(sum>>(5*(5-i))&31))
	}
	var out strings.Builder
	out.WriteString(prefix + "1")
	for _, f := range fives {
		out.WriteByte(bech32Letters[f])
	}
	return out.String()
}

func polymod(values []byte) uint32 {
	sum := uint32(1)
	for _, v := range values {
		top := sum >> 25
		sum = sum&0x1ffffff<<5 ^ uint32(v)
		for i, g := range []uint32{0x3b6a57b2, 0x26508e6d, 0x1ea119fa, 0x3d4233dd, 0x2a1462b3} {
			if top>>i&1 == 1 {
				sum ^= g
			}
		}
	}
	return sum
}

// TestBech32: words of the age format are spelt as BIP 173 has it.
func TestBech32(t *testing.T) {
	if got, want := bech32("a", nil), "a12uel5l"; got != want { // BIP 173, "Test vectors"
		t.Errorf("%q, not %q", got, want)
	}
	// BIP 173, "Test vectors": all thirty-two letters in turn, as the twenty bytes that they carry.
	data := []byte{0x00, 0x44, 0x32, 0x14, 0xc7, 0x42, 0x54, 0xb6, 0x35, 0xcf, 0x84, 0x65, 0x3a, 0x56, 0xd7, 0xc6, 0x75, 0xbe, 0x77, 0xdf}
	if got, want := bech32("abcdef", data), "abcdef1qpzry9x8gf2tvdw0s3jn54khce6mua7lmqqqxw"; got != want {
		t.Errorf("%q, not %q", got, want)
	}
}
