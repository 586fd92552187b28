package live

import "slices"

// late finds pieces of lines of a lesson that were printed before they arrived, as in a file that was copied: their times run
// forward and lie far apart. They say nothing of how far the panel's clock is ahead; they are taken to have been printed when the
// clock, as the other lines know it, showed what they show.
func (g *guess) late() {
	if g.style.Days == nil || g.style.Clocks == nil {
		return
	}
	var pieces [][]int // of records taken
	var known []float64
	for i := 0; i < len(g.taken); {
		n := i + 1
		for n < len(g.taken) && g.heard[g.taken[n].first].came.Sub(g.heard[g.taken[n-1].first].came) < onePiece {
			n++
		}
		if run := g.lateRun(i, n); run != nil {
			pieces = append(pieces, run)
		} else {
			for _, t := range g.taken[i:n] {
				known = append(known, t.ahead)
			}
		}
		i = n
	}
	ahead := 0.0
	if len(known) > 0 {
		ahead, _ = middle(known)
		ahead += g.style.coarse() / 2
	}
	if len(pieces) > 0 {
		g.heard = slices.Clone(g.heard) // other guesses have them too
	}
	for _, run := range pieces {
		g.settle(run, ahead, len(known) == 0)
	}
}

// lateRun gives the records of a piece whose times run forward; nil: it is no piece of late lines.
func (g *guess) lateRun(from, to int) []int {
	var all []dated
	for i := from; i < to; i++ {
		if t := g.taken[i]; !t.r.wall.IsZero() && t.r.why != OtherText {
			all = append(all, dated{first: i, one: t.r, wall: g.style.before(t.r, g.heard[t.first].came.Add(seconds(slackMost)))})
		}
	}
	run := forward(all)
	if len(run) < fewestLate || float64(len(run)) < runsForward*float64(len(all)) {
		return nil
	}
	if run[len(run)-1].wall.Sub(run[0].wall) <= 2*g.style.slackTime() {
		return nil
	}
	at := make([]int, len(run))
	for i, d := range run {
		at[i] = d.first
		g.taken[d.first].r.wall = d.wall
	}
	return at
}

// settle gives the lines of a late piece the instants at which they were printed. Where nothing else tells of the clock, it is right
// unless the piece ends behind its arrival.
func (g *guess) settle(run []int, ahead float64, alone bool) {
	last := g.taken[run[len(run)-1]]
	if behind := last.r.wall.Sub(g.heard[last.first].came).Seconds(); alone && behind > 0 {
		ahead = behind
	}
	for k, i := range run {
		t := &g.taken[i]
		t.ahead, t.late = ahead-g.style.coarse()/2, true
		end := len(g.heard)
		if k+1 < len(run) {
			end = g.taken[run[k+1]].first
		}
		at := t.r.wall.Add(seconds(g.style.coarse()/2 - ahead))
		came := g.heard[t.first].came
		for n := t.first; n < end && g.heard[n].came.Sub(came) < onePiece; n++ {
			g.heard[n].at = at
			came = g.heard[n].came
		}
	}
	g.span = max(g.span, last.r.wall.Sub(g.taken[run[0]].r.wall))
}
