package circuit

import (
	"cmp"

	"sootline"
)

// contradiction refuses volts that a draft gives and that cannot be together. Usual are the volts of an end that gives none;
// 0: not known.
func (d *Draft) contradiction(usual float64) error {
	ends := []*DraftEnd{&d.Out, d.In}
	for i, name := range [...]string{"OUT", "IN"} {
		if e := ends[i]; e != nil {
			if err := sootline.CheckEndVolts(given(e.LowVolts), cmp.Or(given(e.Volts), usual), given(e.HighVolts)); err != nil {
				return at(name, err)
			}
		}
	}
	if err := d.Default.DraftBounds.contradiction(); err != nil {
		return at("isolators by default", err)
	}
	for i := range d.Points {
		if err := d.Points[i].DraftBounds.over(d.Default.DraftBounds).contradiction(); err != nil {
			return at(d.Points[i].Name, err)
		}
	}
	return nil
}

func (b DraftBounds) contradiction() error {
	return sootline.CheckIsolatorVolts(given(b.Opens), given(b.Holds), given(b.Closes))
}

// at says where a contradiction is.
func at(where string, err error) error {
	return sootline.Errorf(sootline.Invalid, "", "%s: %w", where, err)
}

// given is a figure that may not be known; 0: it is not.
func given(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
