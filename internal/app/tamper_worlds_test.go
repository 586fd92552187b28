package app

import (
	"fmt"
	mathrand "math/rand/v2"
	"testing"

	"sootline/internal/pgtest"
	"sootline/internal/worlds"
)

// listedAs are the tamperings of another hand that docs/methods/chain.md lists
// under a name of its own; any other must be found.
var listedAs = map[string]string{
	"a station removed whole":                            "a station taken away",
	"a station hashed again and signed with another key": "a chain signed anew",
	"a station cut and signed with another key":          "a chain signed anew",
}

// signed is what a station signs for a head, by docs/formats/log.md, so that a
// forger can sign with keys of his own.
func signed(h worlds.Head) []byte {
	return fmt.Appendf(nil, "sootline head 1\n%s\n%d\n%s\n%s", h.Site, h.Seq, h.Hash, h.Station)
}

// TestTamperingByAnotherHand: of 1,000 tamperings that were thought of without
// sight of this program, each is found by who reads it, changes nothing, or is of
// a kind that docs/methods/chain.md lists.
func TestTamperingByAnotherHand(t *testing.T) {
	pgtest.FileOnly(t)
	sums(t)
	inMemory(t)
	w := newLogWorld(t)
	chance := mathrand.New(mathrand.NewPCG(2, 6))
	forger, drawn := worlds.Forger{Message: signed}, map[string]bool{}
	by := func(chance *mathrand.Rand, lines [][]byte) ([][]byte, string) {
		changed, what := forger.Tamper(chance, lines)
		drawn[what.Kind] = true
		if name := listedAs[what.Kind]; name != "" {
			return changed, name
		}
		return changed, what.Kind
	}
	w.exports(t, chance, by, 500)
	w.pages(t, chance, by, 500)
	for _, kind := range worlds.Tamperings() {
		if !drawn[kind] && kind != "a failure made a pass" && kind != "a number changed" { // a log of notes has none of these
			t.Errorf("never tried: %s", kind)
		}
	}
}
