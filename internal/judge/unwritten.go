package judge

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Question is something that seems to have happened although nobody wrote it
// down. It changes nothing: a technician who was there says yes or no, and a
// yes writes what Say holds.
type Question struct {
	Kind     QuestionKind
	Points   []*sootline.Point // at least one; for AskChangedPlaces each device went to the next point, the last to the first
	From, To time.Time         // it happened between these two visits; for a reading, when it was read
	Evidence []string          // sentences, the question itself last
	Numbers  []Figure          // what they rest on, finite
	Entries  []sootline.ID     // the readings they rest on
	Say      []Said            // what a yes would write; empty for AskUnstable
}

// Figure is a number with its name and unit.
type Figure struct {
	Name  string
	Value float64
	Unit  string
}

// Said is an entry yet to be written: its point, when it happened, and what it
// says.
type Said struct {
	Point *sootline.Point
	At    time.Time
	Body  sootline.Body
}

// QuestionKind sorts questions by what seems to have happened.
type QuestionKind string

// The kinds of question.
const (
	// AskCleaned: the value fell at once, to about where clean units of the type
	// rest, or nearer to it. A yes writes [sootline.Cleaned].
	AskCleaned QuestionKind = "cleaned"
	// AskOtherDevice: the value went at once to a level of its own. A yes writes
	// [sootline.Replaced].
	AskOtherDevice QuestionKind = "another device"
	// AskChangedPlaces: devices of one type on one loop changed places. A yes
	// writes [sootline.Replaced] for each place, with the unit that came.
	AskChangedPlaces QuestionKind = "changed places"
	// AskNeverMoves: too many looks in a row gave the same value. A yes writes
	// [sootline.Fault], after which it is not asked again until the next reset.
	AskNeverMoves QuestionKind = "never moves"
	// AskNeighbour: two readings were each typed for the other point. A yes
	// writes two [sootline.Corrected].
	AskNeighbour QuestionKind = "typed for the neighbour"
	// AskTransposed: two digits of a reading were exchanged. A yes writes
	// [sootline.Corrected].
	AskTransposed QuestionKind = "digits exchanged"
	// AskFactorTen: a reading is ten times, or a tenth of, what it should be. A
	// yes writes [sootline.Corrected].
	AskFactorTen QuestionKind = "factor of ten"
	// AskUnstable: more than three steps between two resets. Nobody can say from
	// the readings what happened; there is nothing to write.
	AskUnstable QuestionKind = "unstable history"
)

// Unwritten asks about what nobody wrote down, as the readings of a register
// make it look. The questions are in the order of the register, then of time;
// an empty history gives none, and the same register the same ones. A stretch
// between two recorded resets needs five visits. About a second for 100,000
// readings.
//
// Methods, sources, limits and outside checks are in docs/methods/unwritten.md.
func Unwritten(r *sootline.Register) []Question { return surveyOf(context.Background(), r).questions() }

// questions asks about what the survey saw.
func (s *survey) questions() []Question {
	questions, levels := slices.Clone(s.swaps), CleanLevels(s.register)
	var offs []off
	for i := range s.points {
		for _, step := range s.points[i].steps {
			if step.sure && !step.used {
				questions = append(questions, askStep(step, levels))
			}
		}
		questions = append(questions, s.points[i].asked...)
		offs = append(offs, s.points[i].offs...)
	}
	typed, explained := neighbours(s.register, offs)
	questions = append(questions, typed...)
	for i := range offs {
		if o := &offs[i]; !explained[o.look()] {
			if q, ok := mistyped(o); ok {
				questions = append(questions, q)
			}
		}
	}
	turn := map[*sootline.Point]int{}
	for i, p := range s.register.Points() {
		turn[p] = i
	}
	slices.SortStableFunc(questions, func(a, b Question) int {
		return cmp.Or(cmp.Compare(turn[a.Points[0]], turn[b.Points[0]]), a.From.Compare(b.From), cmp.Compare(a.Kind, b.Kind))
	})
	return questions
}

// askStep asks about a step that no other point explains.
func askStep(step *stepped, levels Levels) Question {
	p, verb := step.point, "rose"
	if step.size < 0 {
		verb = "fell"
	}
	q := Question{
		Kind: AskOtherDevice, Points: []*sootline.Point{p}, From: step.from, To: step.to,
		Evidence: []string{fmt.Sprintf("%s by %s between %s and %s, from %s to %s, and nobody wrote down why",
			verb, amountOf(step.sheet, math.Abs(step.size)), date(step.from), date(step.to), number(step.before), amountOf(step.sheet, step.after))},
		Numbers: step.numbers(step.sheet), Entries: entries(step.looks),
	}
	clean, known := levels[sootline.TypeKey(p.Type)]
	if known {
		q.Numbers = append(q.Numbers, figures(step.sheet, "clean level", clean.Centre)...)
	}
	at := step.middle()
	if step.cleans(clean, known) {
		q.Kind = AskCleaned
		if known {
			q.Evidence = append(q.Evidence, fmt.Sprintf("clean units of its type rest at about %s", amountOf(step.sheet, clean.Centre)))
		}
		q.Evidence = append(q.Evidence, "was it cleaned, or another device fitted?")
		q.Say = []Said{{Point: p, At: at, Body: sootline.Cleaned{Text: "noted afterwards, from the readings"}}}
		return q
	}
	q.Evidence = append(q.Evidence, "was another device fitted, or was it set anew?")
	q.Say = []Said{{Point: p, At: at, Body: sootline.Replaced{Text: "noted afterwards, from the readings"}}}
	return q
}

// lowest is how many scales beyond the clean level of its type a value may come
// back to and still count as cleaned.
const lowest = 3.5

// cleans reports whether a step leads away from dirt, to where clean units rest or
// to this side of it.
func (s *stepped) cleans(clean robust.Scale, known bool) bool {
	switch dirtSide(s.sheet) {
	case HighLimit:
		return s.size < 0 && (!known || clean.Z(s.after) > -lowest)
	case LowLimit:
		return s.size > 0 && (!known || clean.Z(s.after) < lowest)
	}
	return false
}

func (s *step) numbers(sheet *sootline.TypeSheet) []Figure {
	return append(
		figures(sheet, "before", s.before, "after", s.after, "step", s.size, "drift a year", s.slope, "noise", s.noise),
		figures(nil, "X", s.x, "X of a bend", s.bend)...)
}

// figures pairs names and finite values.
func figures(sheet *sootline.TypeSheet, pairs ...any) []Figure {
	unit := ""
	if sheet != nil {
		unit = sheet.Unit
	}
	all := make([]Figure, 0, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		if x := pairs[i+1].(float64); !math.IsNaN(x) && !math.IsInf(x, 0) {
			all = append(all, Figure{Name: pairs[i].(string), Value: x, Unit: unit})
		}
	}
	return all
}

func (s *stretch) askUnstable() Question {
	return Question{
		Kind: AskUnstable, Points: []*sootline.Point{s.point}, From: s.first().at, To: s.last().at,
		Evidence: []string{
			fmt.Sprintf("its level changed at once at least %d times between %s and %s, more often than cleaning or another device explains", mostSteps+1, date(s.first().at), date(s.last().at)),
			"is it the same device that was read each time?",
		},
		Numbers: figures(nil, "steps", mostSteps+1.0), Entries: entries(s.looks),
	}
}

// stuckCause is the cause of the fault that a yes to AskNeverMoves writes.
const stuckCause = "value never moves"

// known reports whether somebody wrote down already that the value never moves.
func (s *stretch) known() bool {
	return slices.ContainsFunc(s.point.Events, func(e sootline.Event) bool {
		return e.Kind == sootline.FaultKind && e.Cause == stuckCause && !e.At.Before(s.first().at)
	})
}

// neverMoves asks about a stretch that gave one value for longer than noise
// explains. A value that device or panel corrects stays flat by design.
func (s *stretch) neverMoves(chance float64) (Question, bool) {
	n := len(s.looks)
	if n < stuckVisits || s.sheet == nil || s.sheet.Compensated || n < stuckFor(s.noise, chance) {
		return Question{}, false
	}
	value := s.first().y
	if s.known() || value != math.Trunc(value) || slices.ContainsFunc(s.looks, func(l look) bool { return l.y != value }) {
		return Question{}, false
	}
	return Question{
		Kind: AskNeverMoves, Points: []*sootline.Point{s.point}, From: s.first().at, To: s.last().at,
		Evidence: []string{
			fmt.Sprintf("%d visits from %s to %s all gave exactly %s, where the usual noise is %s", n, date(s.first().at), date(s.last().at), amountOf(s.sheet, value), amountOf(s.sheet, s.noise)),
			"does it answer to the air at all, and is it the device that was read?",
		},
		Numbers: append(figures(s.sheet, "value", value, "noise", s.noise), figures(nil, "visits", float64(n))...), Entries: entries(s.looks),
		Say: []Said{{Point: s.point, At: s.last().at, Body: sootline.Fault{Cause: stuckCause, Text: fmt.Sprintf("%s at %d visits", number(value), n)}}},
	}, true
}

func middle(a, b time.Time) time.Time {
	return time.UnixMilli((a.UnixMilli() + b.UnixMilli()) / 2).In(a.Location())
}
