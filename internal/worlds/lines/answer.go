package lines

import (
	"strings"
	"time"
)

// Learner makes a listener from a lesson.
type Learner func(Lesson) (Listener, error)

// Listener reads what arrives after the lesson.
type Listener interface {
	// Hear takes what came, and gives what is certain by now. Bytes are counted on from the first call. No bytes: time
	// passed and nothing came.
	Hear(at time.Time, b []byte) []Answer
	// End gives what is left when nothing comes any more.
	End() []Answer
}

// As is what an answer makes of some bytes.
type As int

// What an answer can be.
const (
	Understood As = iota // an event: the fields say it
	Kept                 // not understood, kept as heard
	NoEvent              // understood to be none: a head, a remark
)

// Answer is what is made of some bytes, to be given once.
type Answer struct {
	From, To int64 // the bytes on which it rests, To excluded
	As       As
	// Where it is understood, as in [Truth]. Fields of zero are not claimed.
	Wall              string
	Loop              string
	Number, Sub, Zone int
	Event             Event
	Text              string
}

// differs gives the roles in which an answer says something that the truth does not, and whether it leaves something out.
func (t *Truth) differs(a Answer) (wrong []Role, lacks bool) {
	note := func(role Role, said, is string, same bool) {
		switch {
		case said == "" && is != "":
			lacks = true
		case said != "" && !same:
			wrong = append(wrong, role)
		}
	}
	note(What, string(a.Event), string(t.Event), a.Event == t.Event)
	note(Loop, a.Loop, t.Loop, strings.EqualFold(a.Loop, t.Loop))
	for _, n := range []struct {
		role     Role
		said, is int
	}{{Number, a.Number, t.Number}, {Sub, a.Sub, t.Sub}, {Zone, a.Zone, t.Zone}} {
		if n.said == 0 && n.is != 0 {
			lacks = true
		} else if n.said != n.is {
			wrong = append(wrong, n.role)
		}
	}
	note(Text, bare(a.Text), bare(t.Text), bare(a.Text) == bare(t.Text) || bare(a.Text) == bare(t.TextOr))
	switch {
	case a.Wall == "":
		lacks = true
	case a.Wall == t.Wall || t.DayUnsaid && a.Wall == t.Wall[len(time.DateOnly):]:
	case strings.HasPrefix(t.Wall, a.Wall), !t.DayUnsaid && a.Wall == t.Wall[len(time.DateOnly):]:
		lacks = true // the day without the time, the time without the day or the seconds
	default:
		wrong = append(wrong, wallRole(a.Wall, t.Wall))
	}
	return wrong, lacks
}

// wallRole tells whether the day is wrong, or the time alone.
func wallRole(said, is string) Role {
	if strings.HasPrefix(said, is[:len(time.DateOnly)]) || strings.HasPrefix(said, "T") {
		return Clock
	}
	return Day
}
