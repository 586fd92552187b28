package listings

import (
	"fmt"
	"slices"
	"strings"
)

// Report tells the shares of the verdicts as tables in Markdown: of all, by layout, spoiling, language and format.
func Report(verdicts []Verdict) string {
	var b strings.Builder
	b.WriteString(shares("", verdicts, func(Verdict) []string { return []string{"all"} }))
	b.WriteString(shares("layout", verdicts, func(v Verdict) []string { return []string{v.Layout} }))
	b.WriteString(shares("spoiling", verdicts, func(v Verdict) []string {
		if len(v.Spoilings) == 0 {
			return []string{"none"}
		}
		return v.Spoilings
	}))
	b.WriteString(shares("language", verdicts, func(v Verdict) []string { return []string{v.Language} }))
	b.WriteString(shares("format", verdicts, func(v Verdict) []string { return []string{v.Format} }))
	return b.String()
}

// shares is one table: a row a name. "must ask" counts those in which something is open, where asking or refusing is
// all that can be right.
func shares(by string, verdicts []Verdict, names func(Verdict) []string) string {
	groups := map[string][]Verdict{}
	var order []string
	for _, v := range verdicts {
		for _, name := range names(v) {
			if groups[name] == nil {
				order = append(order, name)
			}
			groups[name] = append(groups[name], v)
		}
	}
	slices.Sort(order)
	var b strings.Builder
	fmt.Fprintf(&b, "| %s | listings | must ask | right | asked | refused | lost | misread |\n| --- | --: | --: | --: | --: | --: | --: | --: |\n", by)
	for _, name := range order {
		b.WriteString(shareRow(name, groups[name]))
	}
	return b.String() + "\n"
}

func shareRow(name string, group []Verdict) string {
	counts, open := map[Class]int{}, 0
	for _, v := range group {
		counts[v.Class]++
		if v.MustAsk {
			open++
		}
	}
	share := func(n int) string { return fmt.Sprintf("%.1f %%", 100*float64(n)/float64(len(group))) }
	row := fmt.Sprintf("| %s | %d | %s |", name, len(group), share(open))
	for _, c := range Classes() {
		if c == Lost || c == Misread { // of these, each one counts
			row += fmt.Sprintf(" %d |", counts[c])
			continue
		}
		row += " " + share(counts[c]) + " |"
	}
	return row + "\n"
}
