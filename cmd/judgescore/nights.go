package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/nights"
)

// seen is a point as a judge saw it: the chance that it stated, and whether the point is outside by the next visit.
type seen struct {
	chance  float64
	outside bool // said
	truly   bool
}

// nightGain is what came of nightly values in a world: the recall by what visits saw, and the best with nightly values at no less a
// precision.
type nightGain struct {
	world                      string
	points, outside, kept      int
	precision, before, nightly float64
}

// gainsOfNights judges sites by what visits saw, and again with the nightly values that become readings: each world, and all.
func gainsOfNights(worlds []levels.World, draw levels.Draw, n int) (gains []nightGain) {
	var all, allNightly []seen
	kept := 0
	for _, w := range worlds {
		var before, after []seen
		here := 0
		scenarios := draw.Scenarios
		if len(scenarios) == 0 {
			scenarios = w.Scenarios()
		}
		for _, scenario := range scenarios {
			for seed := draw.First; seed < draw.First+uint64(draw.Seeds); seed++ {
				site := w.Make(seed, scenario)
				more := keptOf(&site, n, seed)
				here += len(more)
				before = append(before, seenBy(&site, site.Entries)...)
				after = append(after, seenBy(&site, append(slices.Clone(site.Entries), more...))...)
			}
		}
		gains = append(gains, gainOf(w.Name(), before, after, here))
		all, allNightly, kept = append(all, before...), append(allNightly, after...), kept+here
	}
	return append(gains, gainOf("all", all, allNightly, kept))
}

// tellGains prints them.
func tellGains(out io.Writer, gains []nightGain) {
	fmt.Fprintf(out, "%-14s %8s %8s %8s %10s %10s %10s %10s\n", "world", "points", "outside", "kept", "precision", "recall", "nightly", "difference")
	for _, g := range gains {
		fmt.Fprintf(out, "%-14s %8d %8d %8d %10.3f %10.3f %10.3f %+10.3f\n", g.world, g.points, g.outside, g.kept, g.precision, g.before, g.nightly, g.nightly-g.before)
	}
}

// publishedNights is how many nights the published figures have.
const publishedNights = 365

// nightsPage is the part of the published page about nightly values.
func nightsPage(gains []nightGain) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n## With values of every night\n\nWhat ours gains by values of %d nights (internal/worlds/nights) that become readings, at the precision that visits alone\n"+
		"gave; how it is done, and where it fails, stands in listening.md.\n\n"+
		"| world | points | outside | values kept | precision | recall by visits | with nightly values | difference |\n| --- | --: | --: | --: | --: | --: | --: | --: |\n", publishedNights)
	for _, g := range gains {
		fmt.Fprintf(&b, "| %s | %d | %d | %d | %.3f | %.3f | %.3f | %+.3f |\n", g.world, g.points, g.outside, g.kept, g.precision, g.before, g.nightly, g.nightly-g.before)
	}
	return b.String()
}

// keptOf gives the nightly values of a site that become readings, as entries of a station of their own.
func keptOf(site *levels.Site, n int, seed uint64) (entries []sootline.Entry) {
	keepers := map[sootline.ID]*live.Keeper{}
	for i, v := range nights.Of(site, n, seed) {
		k := keepers[v.Point]
		if k == nil {
			k = &live.Keeper{}
			keepers[v.Point] = k
		}
		if !k.Keeps(v.At, v.Value) {
			continue
		}
		entries = append(entries, sootline.Entry{
			ID: sootline.DerivedID(v.At, fmt.Appendf(nil, "night %d", i)), Site: site.Entries[0].Site, At: v.At, Noted: v.At, By: "bus", Station: "bus", Point: v.Point,
			Body: sootline.Read{Samples: []float64{v.Value}, Remark: "read by bus"},
		})
	}
	return entries
}

// seenBy lets the tool's own judge answer, and holds each answer against the truth.
func seenBy(site *levels.Site, entries []sootline.Entry) (all []seen) {
	chances := map[sootline.ID]levels.Answer{}
	for _, a := range ours(entries, site.Now, site.NextVisit) {
		chances[a.Point] = a
	}
	for _, truth := range site.Points {
		a, ok := chances[truth.Point]
		if !ok || a.Chance != a.Chance {
			a.Chance = 0
		}
		all = append(all, seen{a.Chance, ok && a.Outside, truth.OutsideByNext})
	}
	return all
}

// gainOf gives precision and recall by what visits saw, and the best recall with nightly values at no less a precision.
func gainOf(name string, before, after []seen, kept int) nightGain {
	precision, recall, truly := verdict(before)
	best := 0.0
	sorted := slices.Clone(after)
	slices.SortFunc(sorted, func(a, b seen) int { return cmp.Compare(b.chance, a.chance) })
	hits := 0
	for i, s := range sorted {
		if s.truly {
			hits++
		}
		last := i+1 == len(sorted) || sorted[i+1].chance < s.chance
		if last && float64(hits) >= precision*float64(i+1) {
			best = max(best, float64(hits)/float64(truly))
		}
	}
	return nightGain{name, len(before), truly, kept, precision, recall, best}
}

// verdict gives precision and recall of what was called outside.
func verdict(all []seen) (precision, recall float64, truly int) {
	called, hits := 0, 0
	for _, s := range all {
		if s.truly {
			truly++
		}
		if s.outside {
			called++
			if s.truly {
				hits++
			}
		}
	}
	return float64(hits) / float64(called), float64(hits) / float64(truly), truly
}
