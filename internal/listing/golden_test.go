package listing

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write want.json anew; read each one before keeping it")

// account is what a golden file holds of one table.
type account struct {
	Table, Kind, KindWhy string
	HeaderLine           int
	Layout               string `json:",omitzero"`
	Columns              []string
	Questions            []Question `json:",omitzero"`
	Rows                 int
	Skipped              []Skipped `json:",omitzero"`
	Records              []string
	Troubles             []string `json:",omitzero"`
}

// accountOf reads a table to its end.
func accountOf(t *testing.T, table *Table, p Profile) account {
	t.Helper()
	u, err := Understand(table, p)
	if err != nil {
		t.Fatal(err)
	}
	a := account{
		Table: table.Name, Kind: string(u.Kind), KindWhy: u.KindWhy, HeaderLine: u.HeaderLine,
		Questions: u.Questions, Rows: u.Rows, Skipped: u.Skipped,
	}
	if u.Encoding != "" {
		a.Layout = u.Encoding + " " + u.Separator
	}
	for _, c := range u.Columns {
		a.Columns = append(a.Columns, c.Heading+" -> "+string(c.Field)+": "+c.Why)
	}
	for rec, bad := range u.Records(table) {
		if bad != nil {
			a.Troubles = append(a.Troubles, bad.Error())
			continue
		}
		a.Records = append(a.Records, rowText(rec))
	}
	return a
}

// rowText writes a typed row on one line: its reference and time, then the fields that are not empty.
func rowText(rec Record) string {
	var b strings.Builder
	field := func(name string, v any) {
		if f, ok := v.(Figure); ok && f.Known {
			fmt.Fprintf(&b, " %s=%g", name, f.Value)
		} else if s, ok := v.(string); ok && s != "" {
			fmt.Fprintf(&b, " %s=%q", name, s)
		}
	}
	switch {
	case rec.Type != nil:
		r := rec.Type
		fmt.Fprintf(&b, "%s compensated=%t/%t", r.Name, r.Compensated, r.SaidSo)
		for _, f := range []struct {
			name  string
			value any
		}{
			{"device", r.Device},
			{"text", r.DeviceText},
			{"quantity", r.Quantity},
			{"unit", r.Unit},
			{"worse", r.Worse},
			{"noise", r.Noise},
			{"spread", r.Spread},
			{"rest", r.Rest},
			{"width", r.Width},
			{"low", r.Low},
			{"high", r.High},
			{"alarm", r.Alarm},
			{"standby", r.Standby},
			{"alarm current", r.AlarmCurrent},
			{"volts", r.LeastVolts},
			{"life", r.Life},
			{"settings", r.Settings},
			{"at", r.BandSetting},
		} {
			field(f.name, f.value)
		}
	case rec.Schedule != nil:
		r := rec.Schedule
		b.WriteString(placeText(r.Ref, r.Fitted))
		field("type", r.Type)
		field("zone", r.Zone)
		field("area", r.Area)
		field("floor", r.Floor)
		field("location", r.Location)
		field("serial", r.Serial)
		field("settings", r.Settings)
		field("metres", r.Metres)
		if r.Spur != 0 {
			fmt.Fprintf(&b, " spur=%d", r.Spur)
		}
	case rec.Reading != nil:
		r := rec.Reading
		fmt.Fprintf(&b, "%s %v", placeText(r.Ref, r.When), r.Samples)
		field("by", r.By)
		field("remark", r.Remark)
		field("quantity", r.Quantity)
		field("unit", r.Unit)
	case rec.Event != nil:
		r := rec.Event
		fmt.Fprintf(&b, "%s %s", placeText(r.Ref, r.When), r.What)
		if r.Outcome != Passed {
			field("outcome", string(r.Outcome))
		}
		field("said", r.Said)
		field("told", r.Told)
		field("cause", r.Cause)
		field("text", r.Text)
		field("by", r.By)
	}
	return b.String()
}

func placeText(r Ref, c Civil) string {
	s := fmt.Sprintf("%s.%s.%d", r.Panel, r.Loop, r.Address)
	if c.Year != 0 {
		s += " " + c.text()
	}
	if c.HasOffset {
		s += fmt.Sprintf(" %+d min", c.OffsetMinutes)
	}
	return s
}

func openBytes(t testing.TB, name string, data []byte) *File {
	t.Helper()
	f, err := Open(name, bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestGolden reads every folder of testdata: input.*, an optional profile.json, and want.json.
func TestGolden(t *testing.T) {
	folders, err := filepath.Glob("testdata/*/input.*")
	if err != nil || len(folders) == 0 {
		t.Fatal("no inputs", err)
	}
	for _, input := range folders {
		folder := filepath.Dir(input)
		t.Run(filepath.Base(folder), func(t *testing.T) {
			data, err := os.ReadFile(input)
			if err != nil {
				t.Fatal(err)
			}
			checkGolden(t, folder, filepath.Base(input), data)
		})
	}
}

func checkGolden(t *testing.T, folder, name string, data []byte) {
	t.Helper()
	profiles := readProfiles(t, folder)
	var got []account
	for _, table := range openBytes(t, name, data).Tables() {
		got = append(got, accountOf(t, table, ProfileFor(profiles, table)))
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(got); err != nil {
		t.Fatal(err)
	}
	encoded := out.Bytes()
	want := filepath.Join(folder, "want.json")
	if *update {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(want, encoded, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	golden, err := os.ReadFile(want)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(golden), string(encoded)); diff != "" {
		t.Error(diff)
	}
}

func readProfiles(t *testing.T, folder string) []Profile {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, "profile.json"))
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	profiles, perr := ParseProfiles(data)
	if err != nil || perr != nil {
		t.Fatal(err, perr)
	}
	return profiles
}
