package sootline

// Losses say what it costs to be wrong about a detector, each in the same measure: only how they stand to each other
// counts. A zero one was not chosen.
type Losses struct {
	// Missed: it is outside its band, and nothing is done from one visit to the next.
	Missed float64 `json:"missed,omitempty"`
	// Look: somebody goes and reads it again, and it was as shown before.
	Look float64 `json:"look,omitempty"`
	// Clean: it is cleaned at a visit, and would have lasted until the one after.
	Clean float64 `json:"clean,omitempty"`
	// Trip: somebody comes between visits to clean it, and it was not outside.
	Trip float64 `json:"trip,omitempty"`
	// Replace: a unit is replaced that would have lasted.
	Replace float64 `json:"replace,omitempty"`
}

// MostLoss is the largest figure that a loss may have.
const MostLoss = 1000

// Filled puts the defaults where nothing was chosen. To come for nothing costs twice what it costs that a detector is
// outside until somebody comes anyway; to look once more as much as that; a needless cleaning at a visit is cheaper,
// since somebody stands there; to throw a good unit away costs most. Ours, no source.
func (l Losses) Filled() Losses {
	all := Losses{Missed: 1, Look: 1, Clean: 0.65, Trip: 2, Replace: 3}
	l.fold(&all)
	return all
}

// From is the chance of being right from which acting costs less than waiting, where acting for nothing costs so much.
// By waiting one loses Missed with that chance, by acting the needless with the rest.
func (l Losses) From(needless float64) float64 { return needless / (needless + l.Missed) }

// loss is one of them, with what it is of.
type loss struct {
	value float64
	of    string
}

// all lists the losses.
func (l Losses) all() [5]loss {
	return [...]loss{
		{l.Missed, "a detector outside that is missed"},
		{l.Look, "a second look for nothing"},
		{l.Clean, "a needless cleaning at a visit"},
		{l.Trip, "a trip for nothing"},
		{l.Replace, "a good unit replaced"},
	}
}

// Say tells the losses that were chosen; nothing where none was.
func (l Losses) Say() string {
	var said []string
	for _, loss := range l.all() {
		if loss.value != 0 {
			said = append(said, loss.of+" costs "+figureText(loss.value))
		}
	}
	return Joined(said...)
}

// NotChosen refuses a rule of 0, named as whoever stated it knows it: a zero chooses nothing.
func NotChosen(what string) error {
	return Errorf(Invalid, "to have it count for next to nothing state a small figure, as 0.01; to leave it as it is state none", "%s 0 chooses nothing: what held before would stay", what)
}

func (l Losses) check() error {
	for _, loss := range l.all() {
		if !(loss.value >= 0 && loss.value <= MostLoss) {
			return Errorf(Invalid, "only how losses stand to each other counts", "what %s costs is a number from 0 to %d", loss.of, MostLoss)
		}
	}
	return nil
}

func (l Losses) fold(into *Losses) {
	replace(&into.Missed, l.Missed)
	replace(&into.Look, l.Look)
	replace(&into.Clean, l.Clean)
	replace(&into.Trip, l.Trip)
	replace(&into.Replace, l.Replace)
}
