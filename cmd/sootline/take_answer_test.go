package main

import (
	"bytes"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/listing"
)

// answering gives a session to which somebody types lines.
func answering(lines ...string) (s *session, out, told *bytes.Buffer) {
	out, told = &bytes.Buffer{}, &bytes.Buffer{}
	return &session{in: strings.NewReader(strings.Join(lines, "\n") + "\n"), out: out, err: told}, out, told
}

// TestAnswerOfAWrongFormIsAskedAgain: a figure at letters is no answer, nor is a word at y and N.
func TestAnswerOfAWrongFormIsAskedAgain(t *testing.T) {
	s, out, told := answering("2", "c", "", "b")
	spelling := &app.Spelling{Of: sootline.AliasType, Said: "Larhc", Rows: 1, Lines: []int{3}, Likely: []string{"Larch"}}
	table := &app.IntakeTable{Table: &listing.Table{}, Understanding: &listing.Understanding{}}
	if means, err := s.askSpelling(table, spelling); err != nil || means != "" {
		t.Errorf("nothing after two wrong answers means %q, %v; want that it is left open", means, err)
	}
	if n := strings.Count(told.String(), "is none of the answers"); n != 2 {
		t.Errorf("two wrong answers are told of %d times:\n%s", n, told)
	}
	if means, err := s.askSpelling(table, spelling); err != nil || means != "Larhc" {
		t.Errorf("b means %q, %v; want a name of its own", means, err)
	}
	if !strings.Contains(out.String(), "b  a name of its own") {
		t.Errorf("the answers are not listed:\n%s", out)
	}
	for answers, want := range map[string]bool{"2 y": true, "a no": false, "perhaps YES": true} {
		s, _, told := answering(strings.Fields(answers)...)
		if got, err := s.agrees("Take this in?"); err != nil || got != want {
			t.Errorf("%q agrees: %v, %v; want %v", answers, got, err, want)
		}
		if !strings.Contains(told.String(), "neither a yes nor a no") {
			t.Errorf("%q is not asked again", answers)
		}
	}
}

// TestEffectsAreAskedOneByOne: each with its rows, and nothing is done for want of an answer.
func TestEffectsAreAskedOneByOne(t *testing.T) {
	s, out, _ := answering("y", "")
	u := app.EffectRows{Rows: 2, Held: 2, Says: []app.Remark{{Line: 3, Text: "the register calls 1.1.001 \"Hall\", and the row \"Porch\""}}}
	for _, want := range []bool{true, false} {
		if yes, err := s.allows(app.EffectRename, u); err != nil || yes != want {
			t.Errorf("it is allowed: %v, %v; want %v", yes, err, want)
		}
	}
	for _, text := range []string{"Rename 2 places?", "row 3: the register calls 1.1.001", "and 1 more"} {
		if !strings.Contains(out.String(), text) {
			t.Errorf("it does not say %q:\n%s", text, out)
		}
	}
	if yes, err := s.allows(app.EffectMove, app.EffectRows{}); yes || err != nil {
		t.Errorf("an effect of no row is asked: %v, %v", yes, err)
	}
}
