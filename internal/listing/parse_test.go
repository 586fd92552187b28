package listing

import (
	"errors"
	"slices"
	"testing"
)

// The writings are those that the package's users listed; common practice, no source.
func TestParseRef(t *testing.T) {
	for s, want := range map[string]Ref{
		"L1-073": {"", "1", 73, ""}, "1/73": {"", "1", 73, ""}, "1.73": {"", "1", 73, ""}, "1.2.073": {"1", "2", 73, ""},
		"Loop 1 Addr 073": {"", "1", 73, ""}, "P1 L2 A73": {"1", "2", 73, ""}, "1-2-73": {"1", "2", 73, ""}, "L2/A073": {"", "2", 73, ""},
		"1.10": {"", "1", 10, ""}, "1.1": {"", "1", 1, ""}, "73": {"", "", 73, ""}, "#073": {"", "", 73, ""}, "Addr. 5": {"", "", 5, ""},
		"A/73": {"", "A", 73, ""}, "b-12": {"", "B", 12, ""}, "L-73": {"", "L", 73, ""}, "P-1-L-2-A-73": {"1", "2", 73, ""}, "p01l02a003": {"1", "2", 3, ""},
		"L1A73": {"", "1", 73, ""}, "FP01.2.3": {"FP1", "2", 3, ""}, "MAIN/2/3": {"MAIN", "2", 3, ""}, "Ring 2 Nr. 7": {"", "2", 7, ""},
		"Loop A Addr 7": {"", "A", 7, ""}, "L1 - 073": {"", "1", 73, ""}, "1:2:3": {"1", "2", 3, ""}, "Schleife 3/Adresse 9": {"", "3", 9, ""},
		"00.000": {"", "0", 0, ""}, "L 1 A 73": {"", "1", 73, ""}, "L1 073": {"", "1", 73, ""}, "1.A.003": {"1", "A", 3, ""}, "1.L.3": {"1", "L", 3, ""}, "L-1-A-3": {"", "1", 3, ""},
	} {
		if got, err := ParseRef(s); err != nil || got != want {
			t.Errorf("%q: %+v %v, want %+v", s, got, err, want)
		}
	}
	for _, s := range []string{"", " ", "12A", "-3", "1--3", "1.2.3.4", "Loop 1", "L1-", "kitchen", "1/x", "A73 1", "1234567", "1.-3", "B 7 C", "é"} {
		if got, err := ParseRef(s); err == nil {
			t.Errorf("%q was read as %+v", s, got)
		}
	}
}

func TestParseAddress(t *testing.T) {
	for s, want := range map[string]int{"073": 73, "A73": 73, "Addr 7": 7, " 5 ": 5, "0": 0} {
		if got, err := parseAddress(s); err != nil || got != want {
			t.Errorf("%q: %d %v", s, got, err)
		}
	}
	for _, s := range []string{"12A", "-3", "7.5", "7,5", "1e3", "L1-3", "x"} {
		if got, err := parseAddress(s); err == nil {
			t.Errorf("%q was read as %d", s, got)
		}
	}
}

func TestParseDate(t *testing.T) {
	for _, c := range []struct {
		in    string
		order DateOrder
		want  string
	}{
		{"2025-01-31", "", "2025-01-31"},
		{"2025/1/31", "", "2025-01-31"},
		{"20250131", "", "2025-01-31"},
		{"20250131T101500", "", "2025-01-31 10:15:00"},
		{"202501311015", "", "2025-01-31 10:15:00"},
		{"2025-01-31T10:20:30.5+01:00", "", "2025-01-31 10:20:30"},
		{"2025-01-31 10:20Z", "", "2025-01-31 10:20:00"},
		{"31/01/2025", "", "2025-01-31"},
		{"01/31/2025", "", "2025-01-31"},
		{"1/2/25", DMY, "2025-02-01"},
		{"1/2/25", MDY, "2025-01-02"},
		{"3.4.70", DMY, "1970-04-03"},
		{"3.4.69", DMY, "2069-04-03"},
		{"3. 4. 2025", DMY, "2025-04-03"},
		{"25-01-31", YMD, "2025-01-31"},
		{"31 Jan 2025", "", "2025-01-31"},
		{"Jan 31, 2025 2:05 PM", "", "2025-01-31 14:05:00"},
		{"31. März 2025", "", "2025-03-31"},
		{"31-Dez-24", "", "2024-12-31"},
		{"1er août 2024", "", "2024-08-01"},
		{"31 de enero de 2025", "", "2025-01-31"},
		{"Mon 3 Feb 2025", "", "2025-02-03"},
		{"Dienstag, 4. Februar 2025 14:05 Uhr", "", "2025-02-04 14:05:00"},
		{"01/31/2025 12:05 am", MDY, "2025-01-31 00:05:00"},
		{"31/01/2025 9h05", DMY, "2025-01-31 09:05:00"},
		{"31/01/2025 2 p.m.", DMY, "2025-01-31 14:00:00"},
		{"29.02.2024", "", "2024-02-29"},
	} {
		if got, err := ParseDate(c.in, c.order); err != nil || got.text() != c.want {
			t.Errorf("%q as %q: %s %v, want %s", c.in, c.order, got.text(), err, c.want)
		}
	}
	for in, want := range map[string]error{
		"31/02/2025": errNoSuchDay, "29.02.2025": errNoSuchDay, "2025-13-01": errNoSuchDay, "01/02/2025": errDateOrder, "25-01-30": errDateOrder,
		"kitchen": errNotDate, "": errNotDate, "12": errNotDate, "1.2.073": errNotDate, "2025-01-31 25:00": errClock, "2025-01-31 13:00 pm": errClock,
	} {
		if got, err := ParseDate(in, ""); !errors.Is(err, want) {
			t.Errorf("%q: %+v %v, want %v", in, got, err, want)
		}
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		in      string
		decimal byte
		want    float64
		unit    string
	}{
		{"25", '.', 25, ""},
		{"-2.5", '.', -2.5, ""},
		{"2,5", ',', 2.5, ""},
		{"1,234.5", '.', 1234.5, ""},
		{"1.234,5", ',', 1234.5, ""},
		{"25 %", '.', 25, "%"},
		{"3,1%/m", ',', 3.1, "%/m"},
		{"1'234", '.', 1234, ""},
		{"1e3", '.', 1000, ""},
		{"−4", '.', -4, ""},
		{".5", '.', 0.5, ""},
	} {
		if got, unit, ok := parseNumber(c.in, c.decimal); !ok || got != c.want || unit != c.unit {
			t.Errorf("%q: %v %q %v", c.in, got, unit, ok)
		}
	}
	for _, s := range []string{"", "x", "12A7", "1.2.3", "NaN", "Inf", "0x10", "1,23", "25 OK", "-", ".", "1e999", "<5"} {
		if got, unit, ok := parseNumber(s, '.'); ok {
			t.Errorf("%q was read as %v %q", s, got, unit)
		}
	}
	for s, want := range map[string]mark{
		"25": markNone, "2.5": markPoint, "2,5": markComma, "1,234": markOpen, "1.234": markOpen, "0,123": markComma, "1234,567": markComma,
		"1,234.5": markPoint, "1.234,5": markComma, "1,234,567": markPoint, "1.234.567,8": markComma, "1.2,3.4": markBroken,
	} {
		if got := decimalMark(s); got != want {
			t.Errorf("%q: mark %d, want %d", s, got, want)
		}
	}
}

func TestEvents(t *testing.T) {
	lx := newLexicon()
	for s, want := range map[string]Happening{
		"Cleaned": Cleaned, "Détecteur nettoyé": Cleaned, "Geprüft": Tested, "Alarm test OK": Tested, "Fault cleared": Restored,
		"Alarm reset": Restored, "Störung": Faulty, "False alarm": Alarmed, "not tested": "", "cleaned and replaced": "", "kitchen": "", "": "",
	} {
		if got, _ := lx.event(s); got != want {
			t.Errorf("%q: %q, want %q", s, got, want)
		}
	}
	for s, want := range map[string]string{
		"Optical smoke": "optical", "optical/heat": "multi", "Handmelder": "call point", "Thermal detector": "heat", "4-way input module": "module", "?": "",
	} {
		if got := lx.device(s); got != want {
			t.Errorf("%q: %q, want %q", s, got, want)
		}
	}
}

// TestWordLists: every word is written as fold leaves it, belongs to one line, and names a known field.
func TestWordLists(t *testing.T) {
	for name, table := range map[string]string{"headings": headingWords, "events": eventWords, "devices": deviceWords, "totals": totalWords, "yes": yesWords} {
		owner := map[string]string{}
		eachWord(table, func(key, word string) {
			if fold(word) != word {
				t.Errorf("%s: %q is folded to %q", name, word, fold(word))
			}
			if other, ok := owner[word]; ok {
				t.Errorf("%s: %q stands under %s and %s", name, word, other, key)
			}
			owner[word] = key
			if f := Field(key); name == "headings" && !f.known() && !slices.Contains([]Field{description, number, standing, setNumber}, f) {
				t.Errorf("%s: no field %q", name, key)
			}
		})
	}
}
