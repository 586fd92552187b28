package chart

import "math"

// Form is the form of a [Sign].
type Form string

// The forms.
const (
	Circle   Form = "circle"
	Square   Form = "square"
	Triangle Form = "triangle"
	Down     Form = "down" // triangle on its head
	Left     Form = "left"
	Right    Form = "right"
	Diamond  Form = "diamond"
	Hexagon  Form = "hexagon"
	Star     Form = "star"
	Cross    Form = "cross"
	Plus     Form = "plus"
	Dash     Form = "dash"
	Bar      Form = "bar"  // upright dash
	Slab     Form = "slab" // lying rectangle
	Horn     Form = "horn" // trapezium, wide to the right
	Dome     Form = "dome" // half a disc on its flat side
)

// Outline is the sign as a closed polygon. A circle has 24 corners.
func (s Sign) Outline() []XY {
	corners := s.Form.corners()
	for i, p := range corners {
		corners[i] = XY{s.At.X + p.X*s.Size/2, s.At.Y + p.Y*s.Size/2}
	}
	return corners
}

// corners are those of the form in the square from -1 to 1.
func (f Form) corners() []XY {
	switch f {
	case Square:
		return []XY{{-0.85, -0.85}, {0.85, -0.85}, {0.85, 0.85}, {-0.85, 0.85}}
	case Triangle:
		return regular(3, 1, -90)
	case Down:
		return regular(3, 1, 90)
	case Left:
		return regular(3, 1, 180)
	case Right:
		return regular(3, 1, 0)
	case Diamond:
		return regular(4, 1, 0)
	case Hexagon:
		return regular(6, 1, 0)
	case Star:
		return regular(10, 0.5, -90)
	case Cross:
		return turned(plus(0.3), 45)
	case Plus:
		return plus(0.3)
	case Dash:
		return []XY{{-1, -0.2}, {1, -0.2}, {1, 0.2}, {-1, 0.2}}
	case Bar:
		return []XY{{-0.3, -1}, {0.3, -1}, {0.3, 1}, {-0.3, 1}}
	case Slab:
		return []XY{{-1, -0.55}, {1, -0.55}, {1, 0.55}, {-1, 0.55}}
	case Horn:
		return []XY{{-0.9, -0.35}, {0.9, -1}, {0.9, 1}, {-0.9, 0.35}}
	case Dome:
		dome := regular(24, 1, 180)[:13]
		for i := range dome {
			dome[i].Y += 0.5
		}
		return dome
	}
	return regular(24, 1, 0)
}

// regular gives n corners on the unit circle from the angle start in degrees;
// every second of them at inner times the radius.
func regular(n int, inner, start float64) []XY {
	corners := make([]XY, n)
	for i := range corners {
		r := 1.0
		if i%2 == 1 {
			r = inner
		}
		sin, cos := math.Sincos((start + 360*float64(i)/float64(n)) * math.Pi / 180)
		corners[i] = XY{r * cos, r * sin}
	}
	return corners
}

func plus(half float64) []XY {
	return []XY{
		{-half, -1},
		{half, -1},
		{half, -half},
		{1, -half},
		{1, half},
		{half, half},
		{half, 1},
		{-half, 1},
		{-half, half},
		{-1, half},
		{-1, -half},
		{-half, -half},
	}
}

func turned(corners []XY, degrees float64) []XY {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for i, p := range corners {
		corners[i] = XY{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos}
	}
	return corners
}
