package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
)

// mostAlike is how many findings of a kind are told one by one.
const mostAlike = 3

// FindingLine is what a list shows of findings: one of them, or all of a kind that
// are as grave, told by the first.
type FindingLine struct {
	Weight sootline.Weight
	Code   string
	Count  int               // how many findings it stands for
	Points []*sootline.Point // of all of them
	Reason string
	WayOut sootline.Ways
	Alike  []sootline.Finding // all of them
}

// FindingLines gathers findings for a list, in their order: kinds of which there are
// more than a few become one line each, with how many and the first ones.
func FindingLines(findings []sootline.Finding) []FindingLine {
	type kind struct {
		weight sootline.Weight
		code   string
	}
	alike := map[kind][]sootline.Finding{}
	for _, f := range findings {
		k := kind{f.Weight, f.Code}
		alike[k] = append(alike[k], f)
	}
	var lines []FindingLine
	told := map[kind]bool{}
	for _, f := range findings {
		k := kind{f.Weight, f.Code}
		switch {
		case len(alike[k]) <= mostAlike || TellsDefect(&f):
			lines = append(lines, FindingLine{f.Weight, f.Code, 1, f.Points, f.Reason, f.WayOut, []sootline.Finding{f}})
		case !told[k]:
			told[k] = true
			lines = append(lines, manyAlike(f, alike[k]))
		}
	}
	return lines
}

// manyAlike tells of many findings by the first of them.
func manyAlike(first sootline.Finding, all []sootline.Finding) FindingLine {
	line := FindingLine{Weight: first.Weight, Code: first.Code, Count: len(all), WayOut: sharedWays(all), Alike: all}
	for _, f := range all {
		for _, p := range f.Points {
			if !slices.Contains(line.Points, p) {
				line.Points = append(line.Points, p)
			}
		}
	}
	line.Reason = fmt.Sprintf("%d of one kind; the first: %s", len(all), first.Reason)
	var others []string
	for _, p := range line.Points[min(len(first.Points), len(line.Points)):] {
		if len(others) == mostAlike {
			break
		}
		others = append(others, strings.TrimSpace(p.Ref().String()+" "+cmp.Or(p.Location, p.Area)))
	}
	if more := len(line.Points) - len(first.Points) - len(others); more > 0 {
		others = append(others, fmt.Sprintf("%d more", more))
	}
	if len(others) > 0 {
		line.Reason += "; likewise " + strings.Join(others, ", ")
	}
	return line
}

// sharedWays gives the ways out that hold for all: those with the same words, and of
// the others the words of the first.
func sharedWays(all []sootline.Finding) sootline.Ways {
	ways := slices.Clone(all[0].WayOut)
	for i := range ways {
		for _, f := range all[1:] {
			if i >= len(f.WayOut) || !sameWay(f.WayOut[i], ways[i]) {
				ways[i].Text = "for the first: " + strings.TrimPrefix(ways[i].Text, "or ")
				break
			}
		}
	}
	return ways
}

func sameWay(a, b sootline.Way) bool {
	return a.Text == b.Text && a.Use == b.Use && slices.Equal(a.With, b.With)
}
