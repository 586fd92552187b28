package worlds

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/binary"
	"math/rand/v2"
	"slices"
)

// What no reader of an export alone can find
//
// An export is a set of chains, one a station, each ending in a head that the station's key signed. Whoever reads nothing
// but the export finds whatever does not fit: a line that was changed, removed or inserted (its hash, or the number after
// it, is not what it must be), a chain that was hashed again or cut (its head says another end, and its signature does
// not hold for the new one), a station without a head, a head without lines.
//
// It cannot find, without knowing something from elsewhere:
//
//   - that a station was left out whole, its lines and its head. It can if the others pin its head, or amend entries of it;
//   - that a chain was made anew and signed with another key: the key stands in the export, and says of itself only that it
//     signed. It can if the key of that station is known from an earlier export, a backup, a paper or a pin;
//   - that an export is an old one: it was whole and rightly signed on its day. It can if a later head is pinned elsewhere;
//   - that whoever holds a station's key, or the machine that it lies on, wrote something else from some line on, before
//     anybody else had seen that line. It can from the first line that a pin witnesses;
//   - that what was written was not so: a chain shows that a line was not changed since, not that it was true;
//   - that lines stand in another order, or that a line stands twice: the numbers give the order, and an entry counts once. This
//     changes nothing, and need not be found.

// Tampering says what was done to an export.
type Tampering struct {
	Kind    string // what, in words; one of Tamperings
	Station string // of which station, where it is one
	Alone   bool   // a reader of this export alone can find it
	Nothing bool   // it changes nothing of what the log says; finding it is no duty
}

// way is one way of tampering; do says false where the export gives no occasion for it.
type way struct {
	kind           string
	alone, nothing bool
	heads          bool // of a station that has a head: else nobody could find it
	do             func(rng *rand.Rand, x *export, station string) bool
}

// ways are all ways of tampering that this package knows.
var ways = []way{
	{kind: "a text changed", alone: true, do: one(retext)},
	{kind: "a number changed", alone: true, do: one(renumber)},
	{kind: "a time changed", alone: true, do: one(retime)},
	{kind: "an author changed", alone: true, do: one(reauthor)},
	{kind: "a failure made a pass", alone: true, do: one(unfail)},
	{kind: "a line removed", alone: true, do: removeLine},
	{kind: "numbers of two lines exchanged", alone: true, do: exchange},
	{kind: "lines in another order", nothing: true, do: shuffle},
	{kind: "a line twice", nothing: true, do: double},
	{kind: "a line twice under another number", alone: true, do: renumbered},
	{kind: "the tail of a station cut", alone: true, heads: true, do: cutTail},
	{kind: "the tail of a station cut, with its head", alone: true, heads: true, do: both(cutTail, dropHead)},
	{kind: "the tail of a station cut, its head made to fit", alone: true, heads: true, do: both(cutTail, fitHead)},
	{kind: "the tails of all stations cut", alone: true, heads: true, do: all(cutTail)},
	{kind: "the tails of all stations cut, with the heads", alone: true, heads: true, do: all(both(cutTail, dropHead))},
	{kind: "a station removed, its head left", alone: true, heads: true, do: dropLines},
	{kind: "a station removed whole", do: both(others, both(dropLines, dropHead))},
	{kind: "a station hashed again from a changed line", alone: true, heads: true, do: rehash},
	{kind: "a station hashed again from a changed line, its head made to fit", alone: true, heads: true, do: both(rehash, fitHead)},
	{kind: "a station hashed again from a changed line, without its head", alone: true, heads: true, do: both(rehash, dropHead)},
	{kind: "the whole log hashed again", alone: true, heads: true, do: all(rehash)},
	{kind: "the whole log hashed again, its heads made to fit", alone: true, heads: true, do: all(both(rehash, fitHead))},
	{kind: "a station hashed again and signed with another key", do: both(rehash, resign)},
	{kind: "a station cut and signed with another key", do: both(cutTail, resign)},
	{kind: "a forged entry inserted, hashed again", alone: true, heads: true, do: insert},
	{kind: "a forged entry inserted, hashed again, its head made to fit", alone: true, heads: true, do: both(insert, fitHead)},
	{kind: "a line moved to another station, both hashed again", alone: true, heads: true, do: move},
	{kind: "a head removed", alone: true, do: dropHead},
	{kind: "all heads removed", alone: true, do: all(dropHead)},
	{kind: "a signature removed", alone: true, do: head(func(_ *rand.Rand, h *Head) { h.Sig = "" })},
	{kind: "a signature copied from another station", alone: true, do: copySig},
	{kind: "a head with another key", alone: true, do: head(func(rng *rand.Rand, h *Head) { h.Key = encoded(key(rng)) })},
	{kind: "a head of another site", alone: true, do: head(func(rng *rand.Rand, h *Head) {
		h.Site = "0" + h.Site[min(1, len(h.Site)):]
		h.Hash = base64.RawURLEncoding.EncodeToString(seed(rng)[:16])
	})},
}

// Tamperings names all kinds.
func Tamperings() []string {
	var out []string
	for _, w := range ways {
		out = append(out, w.kind)
	}
	return out
}

// Tamper does one random thing to an export: its lines without or with their line feeds. Ways that the export gives no occasion
// for are passed over; the lines handed in stay as they are. With an export of no lines nothing can be done: Kind is empty.
func Tamper(rng *rand.Rand, lines [][]byte) ([][]byte, Tampering) {
	return Forger{}.Tamper(rng, lines)
}

// Forger tampers as one who knows what a head's signature is over.
type Forger struct {
	// Message gives the bytes that a station signs for a head; nil: nobody told, and nothing is signed anew.
	Message func(Head) []byte
}

// Tamper is as the function, with signatures of another key among what may be done.
func (f Forger) Tamper(rng *rand.Rand, lines [][]byte) ([][]byte, Tampering) {
	for _, i := range rng.Perm(len(ways)) {
		if out, t, ok := f.try(rng, lines, ways[i]); ok {
			return out, t
		}
	}
	return lines, Tampering{}
}

// As tampers in the way named; false where the export gives no occasion.
func (f Forger) As(kind string, rng *rand.Rand, lines [][]byte) ([][]byte, Tampering, bool) {
	for _, w := range ways {
		if w.kind == kind {
			return f.try(rng, lines, w)
		}
	}
	return lines, Tampering{}, false
}

// try does one way to one station, any that gives the occasion.
func (f Forger) try(rng *rand.Rand, lines [][]byte, w way) ([][]byte, Tampering, bool) {
	stations := parsed(lines).stations()
	for _, i := range rng.Perm(len(stations)) {
		x := parsed(lines)
		x.message = f.Message
		if w.heads && !x.headed(stations[i]) {
			continue
		}
		if !w.do(rng, x, stations[i]) {
			continue
		}
		out := x.lines()
		if !slices.EqualFunc(out, lines, func(a, b []byte) bool { return string(a) == string(b) }) {
			return out, Tampering{w.kind, stations[i], w.alone, w.nothing}, true
		}
	}
	return lines, Tampering{}, false
}

// seed and key are random, and the same for the same source.
func seed(rng *rand.Rand) []byte {
	out := make([]byte, 0, ed25519.SeedSize)
	for range ed25519.SeedSize / 8 {
		out = binary.BigEndian.AppendUint64(out, rng.Uint64())
	}
	return out
}

func key(rng *rand.Rand) ed25519.PrivateKey { return ed25519.NewKeyFromSeed(seed(rng)) }

func encoded(k ed25519.PrivateKey) string {
	return base64.RawURLEncoding.EncodeToString(k.Public().(ed25519.PublicKey))
}
