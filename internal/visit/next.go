package visit

import (
	"cmp"
	"slices"
	"strings"

	"sootline"
)

// Next is when the next thing is due on a site: the earliest last day of all that
// is asked of whoever services it, and, by itself, the turn of the user.
type Next struct {
	Day     Day      // 0: nothing has a last day
	Overdue bool     // the day is past
	What    string   // what is due then
	Why     string   // in words
	Undated []string // what is due without anybody knowing by when
	User    Day      // the last day for the user's next test; 0: no rule asks for one, or nobody knows
}

// NextDue finds it among obligations as of a day.
func NextDue(all []Obligation, on Day) Next {
	var n Next
	for i := range all {
		o := &all[i]
		switch {
		case o.Work == Press:
			if o.Until.Known() && (!n.User.Known() || o.Until < n.User) {
				n.User = o.Until
			}
		case !o.Until.Known():
			if what := o.what(); o.State != Met && !slices.Contains(n.Undated, what) {
				n.Undated = append(n.Undated, what)
			}
		case o.State == Met && (o.Need == 0 && o.Rule.Form == sootline.RetestForm || o.Until < on):
			// it was done, and comes not again
		case !n.Day.Known() || o.Until < n.Day:
			n.Day, n.Overdue, n.What, n.Why = o.Until, o.Until < on, o.what(), o.Why
		}
	}
	return n
}

// what names what an obligation asks for, without its point.
func (o *Obligation) what() string { return strings.TrimSpace(o.Work + " " + cmp.Or(o.Of, o.at())) }

func (o *Obligation) at() string {
	if len(o.Points) == 1 {
		return o.Points[0].Ref().String()
	}
	return ""
}

// String says it in words.
func (n Next) String() string {
	switch {
	case !n.Day.Known() && len(n.Undated) > 0:
		return "no day is known"
	case !n.Day.Known():
		return "nothing is due"
	case n.Overdue:
		return n.Day.String() + ", overdue: " + n.What
	}
	return n.Day.String() + ": " + n.What
}
