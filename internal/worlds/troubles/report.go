package troubles

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Tally counts troubles of one sort: how many were tried, in how many the first cause said was right, and in how many the
// first two held what they should (see [Score]).
type Tally struct{ Tried, First, Second int }

func (t *Tally) add(first, second bool) {
	t.Tried++
	if first {
		t.First++
	}
	if second {
		t.Second++
	}
}

// Miss is a trouble that was explained wrongly; Make with the seed and kinds gives it again.
type Miss struct {
	Seed  uint64
	Kinds []string
	Truth []Cause
	Said  []Cause
}

// Report is how an explainer did.
type Report struct {
	Alone, Pairs Tally
	By           map[string]Tally // by kind, and by pair as "a + b"
	Traceless    []string         // pairs that never leave a trace that tells them from something likelier
	Equal        int              // troubles in which another explanation would have been right too
	Misses       []Miss
}

// Try has an explainer explain troubles: alone of each kind in turn, then pairs of each two kinds in turn that leave a trace
// (two of one kind only of exchanged, and of other-type). The seed decides all of it. The published measure is Try(e, 1200, 800, 1).
func Try(explain Explainer, alone, pairs int, seed uint64) Report {
	r := Report{By: map[string]Tally{}}
	for n := range alone {
		kind := Kinds()[n%len(Kinds())]
		r.one(&r.Alone, explain, seed<<32+uint64(n), kind)
	}
	all := twos()
	for n, done := uint64(0), 0; done < pairs && len(all) > 0; n++ {
		i := int(n % uint64(len(all)))
		if r.one(&r.Pairs, explain, seed<<32+1<<31+n, all[i]...) {
			done++
			continue
		}
		r.Traceless = append(r.Traceless, strings.Join(all[i], " + "))
		all = slices.Delete(all, i, i+1)
	}
	return r
}

// one tries one trouble; false where there is none of these kinds.
func (r *Report) one(sum *Tally, explain Explainer, seed uint64, kinds ...string) bool {
	t := Make(seed, kinds...)
	if t.Truth == nil {
		return false
	}
	said := explain(Trouble{Loop: t.Loop, By: t.By, Answers: t.Answers})
	first, second := Score(t, said)
	sum.add(first, second)
	if len(t.Equal) > 0 {
		r.Equal++
	}
	of := r.By[strings.Join(kinds, " + ")]
	of.add(first, second)
	r.By[strings.Join(kinds, " + ")] = of
	if len(kinds) == 1 && !first || len(kinds) == 2 && !second {
		r.Misses = append(r.Misses, Miss{seed, kinds, t.Truth, said})
	}
	return true
}

// twos gives the pairs of kinds.
func twos() [][]string {
	var out [][]string
	for i, a := range Kinds() {
		for _, b := range Kinds()[i:] {
			if a != b || a == Exchanged || a == OtherType {
				out = append(out, []string{a, b})
			}
		}
	}
	return out
}

// String gives the report as a table.
func (r Report) String() string {
	var b strings.Builder
	row := func(name string, t Tally) {
		fmt.Fprintf(&b, "| %s | %d | %s | %s |\n", name, t.Tried, share(t.First, t.Tried), share(t.Second, t.Tried))
	}
	b.WriteString("| planted | tried | first | first two |\n| --- | --- | --- | --- |\n")
	row("alone", r.Alone)
	row("pairs", r.Pairs)
	for _, name := range slices.SortedFunc(maps.Keys(r.By), func(a, b string) int {
		if pa, pb := strings.Contains(a, "+"), strings.Contains(b, "+"); pa != pb {
			if pb {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	}) {
		row(name, r.By[name])
	}
	return b.String()
}

func share(n, of int) string {
	if of == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f %%", 100*float64(n)/float64(of))
}
