package ducts

import "math"

// chamber is what lies in a detector's chamber, in rooms of the band.
type chamber struct {
	loose, caked float64
	exposure     float64 // how much of the room's dust reaches it
	lump         float64 // mean size of a lump
	falls        float64 // share of the loose dust that falls off in a week
	aged         float64 // of a cell
}

func newChamber(d dice, p *plan) chamber {
	return chamber{exposure: d.gamma(3.5) / 3.5, lump: d.between(0.008, 0.03) * p.lumps, falls: d.between(0.004, 0.02)}
}

// pass lets a week pass.
func (c *chamber) pass(d dice, r *room, k *kind) {
	w := r.week
	mean := r.strength / 52 * w.activity * c.exposure
	if k.catches > 0 {
		mean *= 1 + k.catches*c.caked
	}
	c.loose += c.lump * d.gamma(mean/c.lump)
	if w.burst > 0 {
		c.loose += w.burst * c.exposure * d.lognormal(0.5)
	}
	if w.stir > 0 {
		c.loose *= 1 - w.stir*d.Float64()
	}
	cakes := c.loose * r.sticky
	c.loose, c.caked = c.loose*(1-c.falls)-cakes, c.caked+cakes
	if k.ages > 0 {
		c.aged += 0.01 * d.gamma(k.ages/52/0.01)
	}
}

// clean takes most of the dust out.
func (c *chamber) clean(d dice) {
	c.loose *= d.between(0, 0.05)
	c.caked *= d.between(0.02, 0.15)
}

// cleanHalf takes out what is easily reached.
func (c *chamber) cleanHalf(d dice) {
	c.loose *= d.between(0.2, 0.6)
	c.caked *= d.between(0.5, 0.85)
}

// respond gives how far the dust moves the level, in rooms of the band.
func (c *chamber) respond(k *kind) float64 {
	dust := c.loose + c.caked
	switch {
	case k.ages > 0:
		return c.aged
	case k.share:
		return c.used(k)
	case k.fills > 0:
		return k.fills * (1 - math.Exp(-dust/k.fills))
	case k.reserve > 0:
		return 0.03*min(dust, k.reserve) + 1.4*max(0, dust-k.reserve)
	}
	return dust
}

// used is the share of the reserve that compensation has used, with 1 at the limit of its band.
func (c *chamber) used(k *kind) float64 {
	return min(1, (c.loose+c.caked)/k.reserve) / k.limitShare
}
