package judge

import "math"

// season is how a value goes up and down with the year, in bands, as the sine that its looks show.
type season struct{ cos, sin float64 }

func (s season) at(t float64) float64 {
	if s == (season{}) {
		return 0
	}
	sin, cos := math.Sincos(2 * math.Pi * t)
	return s.cos*cos + s.sin*sin
}

// A season is believed where so many looks at least lie between two others each, and how far they lie off these is so much
// likelier with it than without, as a logarithm. White noise goes to and fro as well, but not always in step: ours.
const (
	leastSeason  = 5
	seasonSo     = 12
	seasonSpread = 0.2 // standard deviation of each wave in bands, before anything is read: visits on the same days leave one open
)

// findSeason finds the season of a point, by least squares of the distances of its looks from between their neighbours on
// those of a yearly cosine and sine, and takes it off its looks.
func (p *past) findSeason() {
	var cc, ss, cs, ce, se, ee, n float64
	wave := func(wave season) func(int) float64 {
		return func(at int) float64 { return wave.at(p.looks[at].t) }
	}
	for i := 1; i+1 < len(p.looks); i++ {
		e, ok := p.distance(i)
		if !ok || !(p.looks[i+1].t > p.looks[i-1].t) {
			continue
		}
		c, s := p.off(i, wave(season{cos: 1})), p.off(i, wave(season{sin: 1}))
		cc, ss, cs, ce, se, ee, n = cc+c*c, ss+s*s, cs+c*s, ce+c*e, se+s*e, ee+e*e, n+1
	}
	ridge := p.kin.noise / (seasonSpread * seasonSpread)
	cc, ss = cc+ridge, ss+ridge
	whole := cc*ss - cs*cs
	if n < leastSeason || !(whole > 0) || !(ee > 0) {
		return
	}
	found := season{(ce*ss - se*cs) / whole, (se*cc - ce*cs) / whole}
	left := max(1e-6, 1-(found.cos*ce+found.sin*se)/ee)
	if size := math.Hypot(found.cos, found.sin); size < math.Sqrt(p.kin.noise) || size > p.swing(found) || -n/2*math.Log(left) < seasonSo {
		return
	}
	p.season = found
	for i := range p.looks {
		p.z[i] -= found.at(p.looks[i].t)
	}
}

// swing is how far a season goes up and down at the looks of a point.
func (p *past) swing(s season) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range p.looks {
		x := s.at(p.looks[i].t)
		low, high = min(low, x), max(high, x)
	}
	return high - low
}
