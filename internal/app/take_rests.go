package app

import (
	"fmt"

	"sootline"
)

// rest tells what rests on an act: what people wrote later that would speak of nothing
// any more, or would hold otherwise, without what it wrote.
func (u *undoing) rest(log *sootline.Log) {
	later := log.With(u.entries)
	before, after := log.Fold(Always), later.Fold(Always)
	tell := func(n int, one, several string) {
		if n > 0 {
			u.Resting = append(u.Resting, numbered(n, one, several))
		}
	}
	tell(len(u.since), "correction of an entry of it", "corrections of its entries")
	entries, points := orphans(later, before, after)
	tell(entries, fmt.Sprintf("later entry about %s that would be no more", numbered(points, "point", "points")),
		fmt.Sprintf("later entries about %s that would be no more", numbered(points, "point", "points")))
	tell(defectSteps(log, later), "step of a defect that it tells of", "steps of defects that it tells of")
	tell(unsheeted(before, after), "point whose type would have no sheet", "points whose types would have no sheet")
	tell(doubled(before, after), "point that would share its number with another", "points that would share their numbers with others")
	tell(benched(before, after), "place of a run at the bench that is open", "places of runs at the bench that are open")
	tell(u.papers(before), "paper that was issued since", "papers that were issued since")
}

func numbered(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}

// orphans counts the entries that would still hold, about points that would be no more.
func orphans(later *sootline.Log, before, after *sootline.Register) (entries, points int) {
	lost := map[sootline.ID]bool{}
	for _, e := range later.Holding() {
		if e.Point.Zero() || !sootline.Amends(e.Body).Zero() || !placed(before, e.Point) || placed(after, e.Point) {
			continue
		}
		entries++
		lost[e.Point] = true
	}
	return entries, len(lost)
}

func placed(r *sootline.Register, point sootline.ID) bool {
	p := r.Point(point)
	return p != nil && p.Placed
}

// defectSteps counts what was done, and would still hold, about defects of which no entry
// would tell any more.
func defectSteps(log, later *sootline.Log) int {
	about := map[sootline.ID]int{}
	for _, e := range later.Holding() {
		switch body := e.Body.(type) {
		case sootline.Followed:
			about[body.Defect]++
		case sootline.Mended:
			about[body.Defect]++
		case sootline.Retested:
			about[body.Defect]++
		}
	}
	if len(about) == 0 {
		return 0
	}
	told := map[sootline.ID]bool{} // by an entry that holds no more
	for _, e := range log.Holding() {
		told[e.ID] = about[e.ID] > 0
	}
	for _, e := range later.Holding() {
		delete(told, e.ID)
	}
	n := 0
	for id, was := range told {
		if was {
			n += about[id]
		}
	}
	return n
}

// unsheeted counts the points that stay and whose types lose their sheets.
func unsheeted(before, after *sootline.Register) int {
	n := 0
	for _, p := range after.Points() {
		if before.Sheet(p.Type) != nil && after.Sheet(p.Type) == nil {
			n++
		}
	}
	return n
}

// doubled counts the points that come back to a number that another point has by now.
func doubled(before, after *sootline.Register) int {
	n := 0
	for _, p := range after.Points() {
		if was := before.Point(p.ID); (was == nil || !was.Placed) && len(after.Named(p.Ref(), Always)) > 1 {
			n++
		}
	}
	return n
}

// benched counts the places of open runs at the bench that would be no more.
func benched(before, after *sootline.Register) int {
	n := 0
	for _, run := range before.BenchRuns() {
		if run.Closed != nil {
			continue
		}
		for _, point := range run.Said.Points {
			if placed(before, point) && !placed(after, point) {
				n++
			}
		}
	}
	return n
}

// papers counts the papers that were issued since.
func (u *undoing) papers(r *sootline.Register) int {
	n := 0
	for _, e := range r.Issued {
		if e.Noted.After(u.Act.Entry.Noted) {
			n++
		}
	}
	return n
}
