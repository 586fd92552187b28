package materials

import "math"

// law is how what settles in a chamber grows with the years.
type law string

const (
	squared   law = "squared"   // fibres catch what comes after them: the rate grows with what lies there
	doubling  law = "doubling"  // a film that holds damp, which holds dust
	filling   law = "filling"   // as much falls off as settles
	turning   law = "turning"   // slow, fast, slow: a mat that closes the mesh, and then keeps dust out
	scattered law = "scattered" // stands for one of the four, drawn for each chamber
)

func laws() []law { return []law{squared, doubling, filling, turning} }

// growth is the course of the dirt of one chamber from clean.
type growth struct {
	law  law
	wait float64 // years until it begins
	pace float64 // years, after the wait, in which squared and doubling dirt goes the whole way
	most float64 // where filling and turning dirt ends
}

// after is the share of the way that dirt has gone some years after the chamber was clean.
func (g *growth) after(years float64) float64 {
	y := max(0, years-g.wait) / g.pace
	switch g.law {
	case squared:
		return y * y
	case doubling:
		const bend = 2.5
		return math.Expm1(bend*min(y, 4)) / math.Expm1(bend) // by four times the way every scale has ended
	case filling:
		return -g.most * math.Expm1(-1.6*y)
	}
	logistic := func(y float64) float64 { return 1 / (1 + math.Exp(-7*(y-0.65))) }
	return g.most * (logistic(y) - logistic(0)) / (1 - logistic(0))
}

// newGrowth draws the dirt of a chamber in a room.
func newGrowth(c chance, p *plan, r *room) growth {
	g := growth{law: p.law, wait: c.between(0, p.wait), pace: p.pace * r.pace * c.factor(p.scatter), most: 0.85 * c.factor(0.35)}
	if g.law == scattered {
		g.law = laws()[c.IntN(len(laws()))]
	}
	return g
}
