package judge

import (
	"math"
	"slices"
	"strconv"

	"sootline"
	"sootline/internal/robust"
)

// How far off a look must be, and how near its explanation, in standard
// deviations. Judgements of ours, backed by the simulation of the page.
const (
	offBy     = 5
	nearTo    = 3
	forecasts = 6 // looks before the last one that say where it should be
)

// off is a look far from where those around it lead.
type off struct {
	stretch  *stretch
	at       int
	expected float64
	se       float64 // of a look there
}

func (o *off) look() *look { return &o.stretch.looks[o.at] }

// fits reports whether a value is what was to be expected.
func (o *off) fits(y float64) bool { return math.Abs(y-o.expected) <= nearTo*o.se }

// offs finds the looks of a stretch that are off while their neighbours on both
// sides agree with each other, and the last look of all when the line before
// leads elsewhere.
func (s *stretch) offs() []off {
	var found []off
	for i := range s.looks {
		o := s.expect(i, found)
		far := math.Abs(s.looks[i].y - o.expected)
		if o.se == 0 || far <= offBy*o.se {
			continue
		}
		o.se *= s.ownNoise(i) / s.noise
		if far > offBy*o.se {
			o.stretch, o.at = s, i
			found = append(found, o)
		}
	}
	return found
}

// expect says where a look should be by those around it, with the usual noise;
// se is zero when they do not say. Those that were off before are not asked.
func (s *stretch) expect(i int, before []off) off {
	last := len(s.looks) - 1
	switch {
	case i > 0 && i < last:
		return between(&s.looks[i-1], &s.looks[i], &s.looks[i+1], s.noise)
	case i == last && !s.more && i >= leastForStep-1:
		trusted := (&stretch{looks: s.looks[:i]}).without(before)
		return beyond(trusted[max(0, len(trusted)-forecasts):], &s.looks[i], s.noise)
	}
	return off{}
}

// between expects a look on the line between its neighbours; se is zero when
// they are no more alike than half as far as it is off.
func between(a, x, b *look, noise float64) off {
	share := 0.5
	if b.t > a.t {
		share = (x.t - a.t) / (b.t - a.t)
	}
	expected := a.y + share*(b.y-a.y)
	if math.Abs(b.y-a.y) > math.Abs(x.y-expected)/2 {
		return off{}
	}
	return off{expected: expected, se: noise * math.Sqrt(1+share*share+(1-share)*(1-share))}
}

// beyond expects a look on the line through those before it, of which three at
// least are needed.
func beyond(before []look, x *look, noise float64) off {
	if len(before) < 3 {
		return off{}
	}
	line := lineOf(before)
	expected, variance := line.at(x.t, len(before))
	return off{expected: expected, se: noise * math.Sqrt(1+variance)}
}

// ownNoise is the noise of a stretch apart from one look: the usual one, or,
// where the others lie further from the middle of their neighbours than that
// explains, their own (the variance of such a distance is that of 1.5 looks).
func (s *stretch) ownNoise(except int) float64 {
	far := make([]float64, 0, len(s.looks))
	for i := 1; i < len(s.looks)-1; i++ {
		if i < except-1 || i > except+1 {
			far = append(far, math.Abs(s.looks[i].y-(s.looks[i-1].y+s.looks[i+1].y)/2))
		}
	}
	if len(far) < 3 {
		return s.noise
	}
	middle, _ := robust.MedianInPlace(far)
	return max(s.noise, 1.4826*middle/math.Sqrt(1.5))
}

// without leaves the looks that are off out.
func (s *stretch) without(offs []off) []look {
	if len(offs) == 0 {
		return s.looks
	}
	kept := make([]look, 0, len(s.looks))
	for i := range s.looks {
		if !slices.ContainsFunc(offs, func(o off) bool { return o.at == i }) {
			kept = append(kept, s.looks[i])
		}
	}
	return kept
}

// mistyped asks about a look whose digits, put right, are what was to be
// expected.
func mistyped(o *off) (Question, bool) {
	for _, slip := range [...]struct {
		kind  QuestionKind
		words string
		right func(float64) []float64
	}{
		{AskFactorTen, "ten times or a tenth of", func(x float64) []float64 { return []float64{x / 10, x * 10} }},
		{AskTransposed, "with two digits exchanged against", transposed},
	} {
		if say := o.corrections(slip.right); len(say) > 0 {
			l := o.look()
			is := amountOf(o.stretch.sheet, l.y)
			meant := amountOf(o.stretch.sheet, say[0].Body.(sootline.Corrected).Body.(sootline.Read).Samples[0])
			return Question{
				Kind: slip.kind, Points: []*sootline.Point{o.stretch.point}, From: l.at, To: l.at,
				Evidence: []string{
					"read " + is + " on " + date(l.at) + ", where the visits around it lead to " + amountOf(o.stretch.sheet, o.expected),
					"it looks " + slip.words + " " + meant + ": was " + meant + " meant?",
				},
				Numbers: o.numbers(), Entries: entries(o.stretch.looks[max(0, o.at-1):min(len(o.stretch.looks), o.at+2)]), Say: say,
			}, true
		}
	}
	return Question{}, false
}

func (o *off) numbers() []Figure {
	return figures(o.stretch.sheet, "read", o.look().y, "expected", o.expected, "noise", o.se)
}

// corrections puts the samples of a look right, or gives nothing when some
// sample that is off stays so.
func (o *off) corrections(right func(float64) []float64) []Said {
	var say []Said
	for i := range o.look().readings {
		reading := &o.look().readings[i]
		samples := slices.Clone(reading.Samples)
		for j, x := range samples {
			if math.Abs(x-o.expected) <= offBy*o.se {
				continue
			}
			k := slices.IndexFunc(right(x), o.fits)
			if k < 0 {
				return nil
			}
			samples[j] = right(x)[k]
		}
		if !slices.Equal(samples, reading.Samples) {
			say = append(say, correct(o.stretch.point, reading, samples, "typed wrongly")...)
		}
	}
	return say
}

// correct says what a reading should have been.
func correct(p *sootline.Point, reading *sootline.Reading, samples []float64, why string) []Said {
	if reading.Entry == nil {
		return nil
	}
	body := sootline.Read{Samples: samples}
	if was, ok := reading.Entry.Body.(sootline.Read); ok {
		body.Remark = was.Remark
	}
	return []Said{{Point: p, At: reading.At, Body: sootline.Corrected{
		Entry: reading.Entry.ID, Why: why, At: reading.At, Point: p.ID, Body: body,
	}}}
}

// transposed gives the numbers that come from x by exchanging two digits side by
// side; the point and the sign stay where they are.
func transposed(x float64) []float64 {
	text := strconv.FormatFloat(math.Abs(x), 'f', -1, 64)
	var all []float64
	for i := 0; i+1 < len(text); i++ {
		j := i + 1
		if text[j] == '.' {
			j++
		}
		if text[i] == '.' || text[i] == text[j] {
			continue
		}
		other := text[:i] + string(text[j]) + text[i+1:j] + string(text[i]) + text[j+1:]
		if y, err := strconv.ParseFloat(other, 64); err == nil {
			all = append(all, math.Copysign(y, x))
		}
	}
	return all
}

// stuckFor is how many looks in a row must be equal before noise rounded to
// whole numbers explains it with no more than the chance given: each look but
// the first falls on the number of the one before with at most the chance of
// the number in the middle, erf(0.5 / (sd sqrt 2)), sd being the noise before
// rounding. No number is large enough when the noise is so small that all
// looks round alike.
func stuckFor(noise, chance float64) int {
	square := noise*noise - roundingSD*roundingSD
	if noise < livelyNoise || square <= 0 {
		return math.MaxInt
	}
	alike := math.Erf(0.5 / math.Sqrt(2*square))
	return 1 + int(math.Ceil(math.Log(chance)/math.Log(alike)))
}
