package listing

import (
	"fmt"
	"slices"
	"strings"
)

// asides collects the words that leave an outcome open.
type asides struct {
	outcomes []*outcomes
	ticks    []tick  // as outcomes; none where a column says what happened
	trials   []trial // of a wide table
	rows     map[string]*aside
	single   []*aside // each is a question
	together []*aside // remarks beside a pass, of which many are one question
}

type aside struct {
	open  outcome
	rows  int
	first int
}

// Questions that are put at once; answered, they make room for the others.
const (
	mostAsides   = 20 // about one wording
	mostTogether = 20 // wordings in one question
	mostRemarks  = 200
)

// between stands between the wordings of one question; folded words have no such sign.
const between = " || "

func (a *asides) observe(row *Row) {
	if a == nil {
		return
	}
	for _, t := range a.trials {
		if t.of(row) {
			a.observeOne(row, t.outcomes)
		}
	}
	if len(a.trials) > 0 {
		return
	}
	for i, o := range a.outcomes {
		if len(a.ticks) == 0 || o.u.ticked(row, a.ticks[i]) {
			a.observeOne(row, o)
		}
	}
}

func (a *asides) observeOne(row *Row, outcomes *outcomes) {
	open := outcomes.of(row)
	if open.key == "" || open.left {
		return
	}
	one := a.rows[open.key]
	if one == nil {
		list, most := &a.single, mostAsides
		if open.remark != "" && outcomes.u.profile.Outcomes[open.key] != ReplyEach {
			list, most = &a.together, mostRemarks
		}
		if len(*list) == most {
			return
		}
		one = &aside{open: open, first: row.Line}
		a.rows[open.key] = one
		*list = append(*list, one)
	}
	one.rows++
}

// askOutcomes puts a question for each text that leaves an outcome open, and one for many remarks beside passes.
func (u *Understanding) askOutcomes() {
	if u.asides == nil {
		return
	}
	for _, a := range u.asides.single {
		u.askOutcome(a)
	}
	for some := range slices.Chunk(u.asides.together, mostTogether) {
		if len(some) == 1 {
			u.askOutcome(some[0])
			continue
		}
		u.askRemarks(some)
	}
	u.asides = nil
}

// in says which rows it is about.
func (a *aside) in() string {
	if a.rows == 1 {
		return fmt.Sprintf("(row %d)", a.first)
	}
	return fmt.Sprintf("(%d rows, first in row %d)", a.rows, a.first)
}

func (u *Understanding) askOutcome(a *aside) {
	text := fmt.Sprintf("What does %q say of the test? %s", a.open.key, a.in())
	if w := a.open.what; w != "" && w != Tested && w != Faulty {
		text = fmt.Sprintf("Does %q say %q, or what does it say of the test? %s", a.open.key, w, a.in())
	}
	if a.open.remark != "" {
		text = fmt.Sprintf("What does %q, beside a pass, say of the test? %s", a.open.remark, a.in())
	}
	choices := []Choice{
		{string(ReplyFailed), "it failed"},
		{string(ReplyPassed), "it passed"},
		{string(ReplyUnreached), "somebody came and could not test it"},
		{string(ReplyFault), "no test: a fault was there"},
	}
	if w := a.open.what; w != "" && w != Tested && w != Faulty {
		choices = append(choices, Choice{string(ReplyAsSaid), "no test: " + string(w)})
	}
	choices = append(choices, Choice{string(ReplyLeft), "put such rows aside"})
	u.Questions = append(u.Questions, Question{ID: AskOutcome + a.open.key, Text: text, Choices: choices, Aside: true})
}

// askRemarks puts one question about many remarks. Each is shown in full: what nobody has read, nobody can say
// to be harmless.
func (u *Understanding) askRemarks(some []*aside) {
	var keys, remarks []string
	for _, a := range some {
		keys = append(keys, a.open.key)
		remarks = append(remarks, fmt.Sprintf("%q %s", a.open.remark, a.in()))
	}
	u.Questions = append(u.Questions, Question{
		ID:   AskOutcome + strings.Join(keys, between),
		Text: "Does any of these, beside a pass, speak against it? " + strings.Join(remarks, "; "),
		Choices: []Choice{
			{string(ReplyEach), "one may: ask about each by itself"},
			{string(ReplyPassed), "none does: all of them passed"},
			{string(ReplyLeft), "put all such rows aside"},
		},
		Aside: true,
	})
}
