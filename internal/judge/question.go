package judge

import (
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"strings"
	"time"

	"sootline"
)

// Question is something that seems to have happened although nobody wrote it
// down. It changes nothing: a technician who was there says yes or no, and a
// yes writes what Say holds.
type Question struct {
	Kind     QuestionKind
	Points   []*sootline.Point // at least one; for AskChangedPlaces each device went to the next point, the last to the first
	From, To time.Time         // it happened between these two visits; for a reading, when it was read
	Chance   float64           // that it did
	Evidence []string          // sentences, the question itself last
	Numbers  []Figure          // what they rest on, finite
	Entries  []sootline.ID     // the readings they rest on
	Say      []Said            // what a yes would write; empty where nothing can be written

	about string  // with the kind, what it is about: a point or area or type, and the day; empty: its points and times
	gain  float64 // how much the answer may change what is done
}

// Key names a question by what it is about: its kind, the point, area or type, and the day. So it keeps its name while
// other readings come in, whichever points show it, and has the same one on every station. A point that is given
// another number is asked about anew.
func (q *Question) Key() string {
	h := sha256.New()
	fmt.Fprint(h, q.Kind, q.about)
	if q.about == "" {
		fmt.Fprint(h, q.From.UnixMilli(), q.To.UnixMilli())
		for _, p := range q.Points {
			fmt.Fprint(h, p.Ref())
		}
	}
	return strings.ToLower(base32.StdEncoding.EncodeToString(h.Sum(nil))[:6])
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
	// AskCleaned: the level came back to where clean units of the type rest. A yes writes [sootline.Cleaned].
	AskCleaned QuestionKind = "cleaned"
	// AskHalfCleaned: it came back part of the way. A yes writes [sootline.Cleaned].
	AskHalfCleaned QuestionKind = "half-cleaned"
	// AskOtherDevice: the value went at once to a level of its own. A yes writes
	// [sootline.Replaced].
	AskOtherDevice QuestionKind = "another device"
	// AskChangedPlaces: devices of one type on one loop changed places. A yes
	// writes [sootline.Replaced] for each place, with the unit that came.
	AskChangedPlaces QuestionKind = "changed places"
	// AskNeverMoves: too many looks in a row gave the same value. A yes writes
	// [sootline.Fault], after which it is not asked again until the next reset.
	AskNeverMoves QuestionKind = "never moves"
	// AskNeighbour: what was read at a neighbour was written at this point. A yes takes the reading back.
	AskNeighbour QuestionKind = "typed for the neighbour"
	// AskTransposed: two digits of a reading were exchanged. A yes writes
	// [sootline.Corrected].
	AskTransposed QuestionKind = "digits exchanged"
	// AskFactorTen: a reading is ten times, or a tenth of, what it should be. A
	// yes writes [sootline.Corrected].
	AskFactorTen QuestionKind = "factor of ten"
	// AskSlip: a reading is what the device cannot have shown, and nothing tells what was meant. A yes takes it back.
	AskSlip QuestionKind = "slip"
	// AskWorks: several devices of one area rose at once. A yes writes a [sootline.Note].
	AskWorks QuestionKind = "works"
	// AskUnsteady: the value jumps about. A yes writes [sootline.Fault], after which it is not asked again until the next
	// reset.
	AskUnsteady QuestionKind = "noisy"
	// AskRescaled: all units of a type show on another scale than their type sheet. A yes writes a [sootline.Note]; the
	// new sheet is still to be taken in.
	AskRescaled QuestionKind = "rescaled"
	// AskInstrument: all that were read at one visit are off alike, in all rooms. A yes writes a [sootline.Note].
	AskInstrument QuestionKind = "another instrument"
)

// Unwritten asks about what nobody wrote down, as the readings of a register
// make it look, and nobody answered with no. The questions are in the order of the register, then of time;
// an empty history gives none, and the same register the same ones.
//
// Methods, sources and limits are in docs/methods/judging.md.
func Unwritten(r *sootline.Register) []Question {
	asked, _ := asking(r).questions()
	return asked
}

// Raised is [Unwritten] with the questions that are held back: any of them may be answered. It is in no order.
func Raised(r *sootline.Register) []Question { return asking(r).raised }

func asking(r *sootline.Register) *Judge {
	j := New(r, r.AsOf)
	j.look()
	if j.raised == nil {
		j.raise()
	}
	return j
}

const (
	sure       = 0.9  // a question less likely than this is wrong too often for people to go on reading them: ours
	shared3    = 3    // points that must have risen together: two do so by chance
	sharedP    = 0.3  // chance of each of them that counts
	hintedP    = 0.05 // the same before what the room did is known
	exchangedP = 0.2  // chance of each of two steps that fit each other
	// A site of so many points bears a question more.
	fewQuestions    = 3
	pointsAQuestion = 42
)
