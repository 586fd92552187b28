package worlds

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// message is what a head's signature is over in these tests.
func message(h Head) []byte { return fmt.Appendf(nil, "%s|%s|%d|%s", h.Site, h.Station, h.Seq, h.Hash) }

// exported makes a whole export of three stations, rightly chained and signed.
func exported(rng *rand.Rand) [][]byte {
	prev, n := map[string][]byte{}, map[string]int{}
	var out [][]byte
	for i := range 30 {
		station := fmt.Sprint("s-", i%3)
		body := []string{`{"text":"dust"}`, `{"failed":true,"text":"dead \"head\" \u2028"}`, `{"samples":[25,26.5]}`}[i/3%3]
		kind := []string{"cleaned", "tested", "read"}[i/3%3]
		n[station]++
		line := fmt.Sprintf(`{"id":"01a22ac6-f853-7000-8000-%012d","site":"01a2-site","at":"2026-01-15T09:30:%02d.000Z",`+
			`"noted":"2026-01-15T09:31:00.000Z","by":"A. Tech","station":%q,"seq":%d,"point":"p1","kind":%q,"body":%s`,
			i, i, station, n[station], kind, body)
		sum := sha256.Sum256(append(slices.Clone(cmpOr(prev[station])), line...))
		prev[station] = sum[:16]
		out = append(out, []byte(line+`,"hash":"`+base64.RawURLEncoding.EncodeToString(sum[:16])+"\"}\n"))
	}
	for _, s := range slices.Sorted(maps.Keys(n)) {
		k := key(rng)
		h := Head{"01a2-site", s, n[s], base64.RawURLEncoding.EncodeToString(prev[s]), encoded(k), ""}
		h.Sig = base64.RawURLEncoding.EncodeToString(ed25519.Sign(k, message(h)))
		raw, _ := json.Marshal(struct {
			Head Head `json:"head"`
		}{h})
		out = append(out, append(raw, '\n'))
	}
	return out
}

func cmpOr(b []byte) []byte {
	if b == nil {
		return make([]byte, 16)
	}
	return b
}

// wrong is a plain check of an export alone: why it cannot be whole, or nothing.
func wrong(lines [][]byte) string {
	type at struct {
		seq  int
		line string
	}
	byStation, heads := map[string]map[at]bool{}, map[string]Head{}
	for _, raw := range lines {
		var h struct{ Head *Head }
		if json.Unmarshal(raw, &h) == nil && h.Head != nil {
			heads[h.Head.Station] = *h.Head
			continue
		}
		var l Line
		if err := json.Unmarshal(raw, &l); err != nil {
			return err.Error()
		}
		if byStation[l.Station] == nil {
			byStation[l.Station] = map[at]bool{}
		}
		byStation[l.Station][at{l.Seq, strings.TrimSpace(string(raw))}] = true
	}
	for s, h := range heads {
		key, _ := base64.RawURLEncoding.DecodeString(h.Key)
		sig, _ := base64.RawURLEncoding.DecodeString(h.Sig)
		if h.Site != "01a2-site" || !ed25519.Verify(key, message(h), sig) || h.Seq != len(byStation[s]) {
			return "head of " + s
		}
	}
	for s, set := range byStation {
		rows := slices.SortedFunc(maps.Keys(set), func(a, b at) int { return a.seq - b.seq })
		prev, last := make([]byte, 16), ""
		for i, r := range rows {
			cut := strings.LastIndex(r.line, `,"hash":"`)
			sum := sha256.Sum256(append(slices.Clone(prev), r.line[:cut]...))
			prev, last = sum[:16], base64.RawURLEncoding.EncodeToString(sum[:16])
			if r.seq != i+1 || r.line[cut:] != `,"hash":"`+last+`"}` {
				return fmt.Sprintf("%s, line %d", s, r.seq)
			}
		}
		if h, ok := heads[s]; !ok || h.Hash != last {
			return s + " has no head that fits"
		}
	}
	return ""
}

// TestTamper: each kind happens, and is found by a plain check exactly where it is said that it can be.
func TestTamper(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	whole := exported(rng)
	if why := wrong(whole); why != "" {
		t.Fatalf("the whole export: %s", why)
	}
	before := slices.Clone(bytes.Join(whole, nil))
	for _, kind := range Tamperings() {
		for range 12 {
			out, what, ok := Forger{Message: message}.As(kind, rng, whole)
			if !ok {
				t.Errorf("%s: never", kind)
				break
			}
			switch why := wrong(out); {
			case what.Alone && why == "":
				t.Errorf("%s of %s: not found\n%s", kind, what.Station, bytes.Join(out, nil))
			case !what.Alone && why != "":
				t.Errorf("%s of %s: found, %s, and said to be what cannot be", kind, what.Station, why)
			}
			if bytes.Equal(bytes.Join(out, nil), before) {
				t.Errorf("%s: nothing was done", kind)
			}
		}
	}
	if !bytes.Equal(bytes.Join(whole, nil), before) {
		t.Error("the lines handed in were changed")
	}
}

// TestTamperDraws: a thousand draws, twelve kinds and more, each with a name; one source gives one tampering.
func TestTamperDraws(t *testing.T) {
	whole := exported(rand.New(rand.NewPCG(1, 2)))
	kinds := map[string]int{}
	for i := range uint64(1000) {
		out, what := Tamper(rand.New(rand.NewPCG(3, i)), whole)
		again, _ := Tamper(rand.New(rand.NewPCG(3, i)), whole)
		kinds[what.Kind]++
		if !bytes.Equal(bytes.Join(out, nil), bytes.Join(again, nil)) {
			t.Fatalf("%s differs from itself", what.Kind)
		}
	}
	if kinds[""] > 0 || len(kinds) < len(Tamperings())-2 { // two kinds need to know what is signed
		t.Errorf("%d kinds: %v", len(kinds), kinds)
	}
}

// TestTamperWithoutHeads: an export of the old kind loses only what needs a head to be found.
func TestTamperWithoutHeads(t *testing.T) {
	whole := slices.DeleteFunc(exported(rand.New(rand.NewPCG(1, 2))), func(l []byte) bool { return bytes.HasPrefix(l, []byte(`{"head"`)) })
	for i := range uint64(300) {
		if _, what := Tamper(rand.New(rand.NewPCG(4, i)), whole); strings.Contains(what.Kind, "head") || strings.Contains(what.Kind, "tail") {
			t.Fatalf("%s, without heads", what.Kind)
		}
	}
}
