package address

import "slices"

// part breaks a ring of devices that wait for each other: one of them is
// parked, the one for which the most others wait, of these one for which there
// is a free place, of these the narrowest.
func (j *juggler) part(blocked int) {
	best, place, bestKey := nobody, 0, [3]int{}
	most := 0
	ring := j.ring(blocked)
	for _, i := range ring {
		most = max(most, j.waitFor(i))
	}
	for _, i := range ring {
		waits := j.waitFor(i)
		if waits < most {
			continue
		}
		spot := j.spot(i)
		key := [3]int{waits, min(spot, 1), -j.moves[i].width()}
		if best == nobody || slices.Compare(key[:], bestKey[:]) > 0 {
			best, place, bestKey = i, spot, key
		}
		if spot > 0 && j.moves[i].width() == 1 {
			break
		}
	}
	j.park(best, place)
}

func (j *juggler) park(i, spot int) {
	switch m := &j.moves[i]; {
	case spot > 0:
		j.parked[m.Range] = spot
		j.step(i, spot, Park)
	case j.span.Unset > 0 && j.unset == 0 && (m.Most == 0 || j.span.Unset <= m.Most):
		j.step(i, j.span.Unset, ParkUnset)
	default:
		j.step(i, 0, Lift)
	}
}

// ring follows from a blocked device to one that blocks it, and on, until it
// comes round; it gives the devices of that ring.
func (j *juggler) ring(i int) []int {
	path := j.path[:0]
	for j.met[i] == 0 {
		path = append(path, i)
		j.met[i] = len(path)
		i = j.blocker(i)
	}
	at := j.met[i] - 1
	for _, k := range path {
		j.met[k] = 0
	}
	j.path = path
	return path[at:]
}

// waitFor counts the devices on whose goals device i stands.
func (j *juggler) waitFor(i int) int {
	m, last, count := &j.moves[i], nobody, 0
	if j.at[i] == 0 || j.span.isUnset(j.at[i]) {
		return 0
	}
	for n := j.at[i]; n < j.at[i]+m.width(); n++ {
		if g := j.goals[m.Range][n]; g != nobody && g != i && g != last {
			last = g
			count++
		}
	}
	return count
}

// spot gives the lowest number at which a device can be parked: free, and
// nobody's goal but its own. The place where one was parked last is tried
// first. It is 0 when there is none.
func (j *juggler) spot(i int) int {
	m := &j.moves[i]
	if j.vacant[m.Range] < m.width() {
		return 0
	}
	if n := j.parked[m.Range]; n > 0 && j.parks(i, n) {
		return n
	}
	for n := j.open.free(0); n < j.open.end; n = j.open.free(n + 1) {
		if j.parks(i, n) {
			return n
		}
	}
	return 0
}

func (j *juggler) parks(i, n int) bool {
	m := &j.moves[i]
	if m.Most > 0 && n > m.Most || !j.open.fits(n, m.width()) {
		return false
	}
	for k := n; k < n+m.width(); k++ {
		if len(j.takers[m.Range][k]) > 0 {
			return false
		}
		if g := j.goals[m.Range][k]; g != nobody && g != i {
			return false
		}
	}
	return true
}
