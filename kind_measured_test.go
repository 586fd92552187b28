package sootline

import (
	"strings"
	"testing"
	"time"
)

// What meters cannot have shown is refused with what it is, and what to do.
func TestMeasuredRefused(t *testing.T) {
	for reason, m := range map[string]Measured{
		"-23 V at OUT is reversed polarity":           {OutVolts: new(-23.0)},
		"-21.5 V at the far end is reversed polarity": {OutVolts: new(23.0), FarVolts: new(-21.5)},
		"flows the other way":                         {RestMA: new(-3.0)},
		"dangerous":                                   {OutVolts: new(240.0)},
		"0 ohm":                                       {PlusOhms: new(0.0)},
	} {
		m.Panel, m.Loop = "1", "1"
		at := time.Date(2026, 1, 20, 9, 0, 0, 0, time.UTC)
		e := Entry{ID: DerivedID(at, []byte("m")), Site: DerivedID(at, []byte("s")), At: at, Noted: at, Station: "laptop", Body: m}
		if err := e.CheckNew(); err == nil || !strings.Contains(err.Error(), reason) || ErrorHint(err) == "" {
			t.Errorf("%s: %v", reason, err)
		}
	}
}
