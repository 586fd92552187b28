package visit

// Worth is what a piece of work is worth. More overdue work counts before any
// amount of due work, due work before what a share of the visit takes, and that
// before any fall of risk.
type Worth struct {
	Overdue, Due, Share int
	Risk                float64 // by how much the risk falls
}

func (w Worth) plus(o Worth) Worth {
	return Worth{w.Overdue + o.Overdue, w.Due + o.Due, w.Share + o.Share, w.Risk + o.Risk}
}

func (w Worth) exceeds(o Worth) bool {
	switch {
	case w.Overdue != o.Overdue:
		return w.Overdue > o.Overdue
	case w.Due != o.Due:
		return w.Due > o.Due
	case w.Share != o.Share:
		return w.Share > o.Share
	}
	return w.Risk > o.Risk
}

// Item is a piece of work that is done whole or not at all.
type Item struct {
	Minutes int
	Worth   Worth
}

// Lot is work that shares a set-up: its minutes are spent once, as soon as any
// of the items is done.
type Lot struct {
	Setup int
	Items []Item
}

// Pick chooses the items that are worth most together within the minutes. It
// gives, for each lot, the indexes of the chosen items in order. The choice is
// exact: dynamic programming over the minutes, with the set-up of a lot paid on
// the way into it; time and memory grow with items times minutes.
//
// Source: the 0/1 knapsack recurrence of R. Bellman, Dynamic Programming, 1957,
// with the set-up variant of E. D. Chajakis and M. Guignard, Exact algorithms
// for the setup knapsack problem, INFOR 32 (1994); both from memory.
func Pick(minutes int, lots []Lot) [][]int {
	minutes = max(0, min(minutes, total(lots)))
	p := picker{best: make([]Worth, minutes+1)}
	trails := make([]trail, len(lots))
	for i, lot := range lots {
		trails[i] = p.lot(lot)
	}
	chosen := make([][]int, len(lots))
	left := minutes
	for i := len(lots) - 1; i >= 0; i-- {
		chosen[i], left = trails[i].back(lots[i], left)
	}
	return chosen
}

// total is the time that all of it takes.
func total(lots []Lot) int {
	sum := 0
	for _, lot := range lots {
		sum += lot.Setup
		for _, item := range lot.Items {
			sum += item.Minutes
		}
	}
	return sum
}

// picker holds, for every number of minutes, what the lots so far are worth.
type picker struct{ best []Worth }

// trail remembers the choices made for a lot: at which minutes it was entered,
// and which items were taken on the way.
type trail struct {
	entered []bool
	took    [][]bool // item, minutes
}

func (p *picker) lot(lot Lot) trail {
	t := trail{entered: make([]bool, len(p.best)), took: make([][]bool, len(lot.Items))}
	if lot.Setup >= len(p.best) {
		return t
	}
	// inside[m] is the worth with m minutes spent on all before and on the lot's
	// items, its set-up not counted.
	inside := make([]Worth, len(p.best)-lot.Setup)
	copy(inside, p.best)
	for i, item := range lot.Items {
		took := make([]bool, len(inside))
		for m := len(inside) - 1; m >= item.Minutes && item.Minutes >= 0; m-- {
			if with := inside[m-item.Minutes].plus(item.Worth); with.exceeds(inside[m]) {
				inside[m], took[m] = with, true
			}
		}
		t.took[i] = took
	}
	for m := range inside {
		if inside[m].exceeds(p.best[m+lot.Setup]) {
			p.best[m+lot.Setup], t.entered[m+lot.Setup] = inside[m], true
		}
	}
	return t
}

// back follows the trail from the minutes left to those that the lots before had.
func (t trail) back(lot Lot, left int) (chosen []int, before int) {
	if !t.entered[left] {
		return nil, left
	}
	left -= lot.Setup
	for i := len(lot.Items) - 1; i >= 0; i-- {
		if t.took[i][left] {
			chosen = append([]int{i}, chosen...)
			left -= lot.Items[i].Minutes
		}
	}
	return chosen, left
}
