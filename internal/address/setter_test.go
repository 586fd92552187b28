package address_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/address"
)

// Common practice, no source: switch weights 1 2 4 ... 64 (128), two dials.
// The binary numbers were worked by hand: 93 = 64+16+8+4+1.
func TestPositions(t *testing.T) {
	for _, c := range []struct {
		setter string
		number int
		want   string
	}{
		{"switches 7", 93, "1011101"},
		{"switches 7 high-first", 93, "1011101"},
		{"switches 7", 6, "0110000"},
		{"switches 7 high-first", 6, "0000110"},
		{"switches 7 on-is-zero", 6, "1001111"},
		{"switches 7 high-first", 126, "1111110"},
		{"switches 7 high-first", 42, "0101010"},
		{"switches 8 high-first", 250, "11111010"},
		{"switches 8 high-first on-is-zero", 93, "10100010"}, // 162 = 255 - 93
		{"switches 7", 128, ""},
		{"dials 9", 9, ""},
	} {
		got := ""
		for _, on := range setter(t, c.setter).Positions(c.number) {
			got += map[bool]string{true: "1", false: "0"}[on]
		}
		if got != c.want {
			t.Errorf("%d on %s: %q, want %q", c.number, c.setter, got, c.want)
		}
	}
}

func setter(t testing.TB, text string) address.Setter {
	t.Helper()
	s, err := address.ParseSetter(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// 93 read with the polarity wrong is 34 on 7 switches and 162 on 8; 6 with the
// bit order wrong is 48 on 7 (common practice, no source; 127 - 93, 255 - 93 and
// 0110000b by hand).
func TestReadWrongly(t *testing.T) {
	for _, c := range []struct {
		set, read    string
		number, want int
	}{
		{"switches 7", "switches 7 on-is-zero", 93, 34},
		{"switches 8", "switches 8 on-is-zero", 93, 162},
		{"switches 7", "switches 7 high-first", 6, 48},
		{"switches 7", "switches 7 high-first", 93, 93},
	} {
		if got := setter(t, c.read).ReadSwitches(setter(t, c.set).Positions(c.number)); got != c.want {
			t.Errorf("%d set on %s and read as %s: %d, want %d", c.number, c.set, c.read, got, c.want)
		}
	}
}

func TestSwitchesRoundTrip(t *testing.T) {
	for _, text := range []string{"switches 7", "switches 8", "switches 7 high-first", "switches 8 on-is-zero", "switches 8 high-first on-is-zero"} {
		s := setter(t, text)
		if s.String() != text {
			t.Errorf("%q is written %q", text, s)
		}
		for n := 0; n <= s.Most(); n++ {
			if got := s.ReadSwitches(s.Positions(n)); got != n {
				t.Errorf("%s: %d is read as %d", text, n, got)
			}
		}
	}
}

// Dials reach 99 and 159 (common practice, no source).
func TestDigits(t *testing.T) {
	for _, c := range []struct {
		setter             string
		number, tens, unit int
		ok                 bool
	}{
		{"dials 9", 37, 3, 7, true},
		{"dials 9", 100, 0, 0, false},
		{"dials 15", 159, 15, 9, true},
		{"dials 15", 160, 0, 0, false},
		{"electronic", 7, 0, 0, false},
	} {
		tens, units, ok := setter(t, c.setter).Digits(c.number)
		if tens != c.tens || units != c.unit || ok != c.ok {
			t.Errorf("%d on %s: %d %d %t", c.number, c.setter, tens, units, ok)
		}
	}
}

func TestParseSetter(t *testing.T) {
	for _, text := range []string{"unknown", "electronic", "base", "dials 9", "dials 15", "switches 7 high-first on-is-zero"} {
		if got := setter(t, text).String(); got != text {
			t.Errorf("%q is written %q", text, got)
		}
	}
	for _, text := range []string{"", "switches", "switches 6", "dials 12", "dials 9 high-first", "knob", "switches x", "base 7"} {
		if _, err := address.ParseSetter(text); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestSpanCheck(t *testing.T) {
	for _, s := range []address.Span{
		{First: 5, Last: 4},
		{First: -1, Last: 4},
		{First: 0, Last: 0},
		{First: 1, Last: 10_000},
		{First: 1, Last: 9, Unset: -1},
		{First: 1, Last: 9, Reserved: []int{10}},
	} {
		if sootline.ErrorCode(s.Check()) != sootline.Invalid {
			t.Errorf("%+v: %v", s, s.Check())
		}
	}
}

// Numbers agrees with asking for every number whether it is refused.
func TestSpanNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpan(t)
		count := 0
		for n := -1; n <= s.Last+1; n++ {
			if s.Refuse(n, 1) == nil {
				count++
			}
		}
		if got := s.Numbers(); got != count {
			t.Fatalf("%+v: %d numbers, %d are not refused", s, got, count)
		}
	})
}

func drawSpan(t *rapid.T) address.Span {
	s := address.Span{First: rapid.IntRange(0, 3).Draw(t, "first"), Last: rapid.IntRange(20, 60).Draw(t, "last"), Separate: rapid.Bool().Draw(t, "separate")}
	s.Unset = rapid.SampledFrom([]int{0, s.Last + 1, s.Last, 7}).Draw(t, "unset")
	s.Reserved = rapid.SliceOfN(rapid.IntRange(s.First, s.Last), 0, 4).Draw(t, "reserved")
	slices.Sort(s.Reserved)
	return s
}
