package address_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/address"
)

// What check says of wanted numbers is what was said of them: nothing is taken that is
// only wanted, and what cannot be had is found before anybody sets it.
func TestCheckOfWhatIsWanted(t *testing.T) {
	dials := sootline.TypeSheet{Name: "Elder", Settings: map[string]string{address.HowSetting: "dials 9"}}
	for _, c := range []struct {
		name     string
		fit      func(b *book)
		codes    []string
		says     []string
		saysNone []string
	}{
		{"only wanted", func(b *book) { b.fit("hall", "", 2, 0); b.fit("shaft", "", 2, 0) }, []string{address.Twice}, []string{"is wanted for 2 devices", "want another number for one of them"}, []string{"is taken", "the panel may show", "should be"}},
		{"one is there", func(b *book) { b.fit("hall", "", 2, 0); b.fit("shaft", "", 0, 2) }, []string{address.Twice}, []string{"is taken by 1.2.002 (shaft) and wanted for 1.2.002 (hall)"}, nil},
		{"in the way of another", func(b *book) { b.fit("hall", "", 72, 0); b.fit("shaft", "", 72, 3) }, []string{address.Meant, address.Differs}, []string{"(hall) should have 72 too"}, []string{"is at 72"}},
		{"both elsewhere", func(b *book) { b.fit("hall", "", 33, 5); b.fit("shaft", "", 33, 6) }, []string{address.Meant, address.Differs, address.Differs}, []string{"Number 33 on loop 1.2 is wanted for 2 devices"}, nil},
		{"beyond its dials", func(b *book) { b.fit("hall", "Elder", 100, 0) }, []string{address.Unable}, []string{"should have number 100, and type Elder can be set up to 99"}, nil},
		{"found beyond its dials", func(b *book) { b.fit("hall", "Elder", 99, 100) }, []string{address.Differs, address.Unable}, []string{"was found at 100, and type Elder can be set up to 99"}, nil},
		{"wanted beyond the loop, found on it", func(b *book) { b.fit("hall", "", 500, 5) }, []string{address.Outside, address.Differs}, []string{"should have number 500"}, nil},
		{"wanted as unset", func(b *book) { b.fit("hall", "", 127, 5) }, []string{address.Outside, address.Differs}, []string{"should have number 127"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b book
			b.add("", sootline.Sheet{TypeSheet: dials})
			c.fit(&b)
			var codes []string
			text := ""
			for _, f := range b.check() {
				codes, text = append(codes, f.Code), text+f.Reason+"; "+f.WayOut.String()+"\n"
			}
			if strings.Join(sorted(codes), " ") != strings.Join(sorted(c.codes), " ") {
				t.Errorf("codes %v, want %v:\n%s", codes, c.codes, text)
			}
			for _, part := range c.says {
				if !strings.Contains(text, part) {
					t.Errorf("does not say %q:\n%s", part, text)
				}
			}
			for _, part := range c.saysNone {
				if strings.Contains(text, part) {
					t.Errorf("says %q:\n%s", part, text)
				}
			}
		})
	}
}
