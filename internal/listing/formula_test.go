package listing

import (
	"strings"
	"testing"
)

// A formula of figures is worked out; one that needs anything else is not.
func TestComputed(t *testing.T) {
	for formula, want := range map[string]string{
		"31+0": "31", "of:=31+0": "31", "=2+3*4": "14", "(2+3)*4": "20", "-3 - -5": "2", "0.1+0.2": "0.3", "7/2": "3.5", "10-2-3": "5",
		"": "", "1/0": "", "A1+1": "", "of:=[.A1]": "", "SUM(1,2)": "", "2^3": "", "5%": "", "1+": "", "(1": "", "1)": "", "1 2": "", "1..2": "", "31,5": "",
		strings.Repeat("(", 300): "",
	} {
		if got, ok := computed(formula); got != want || ok != (want != "") {
			t.Errorf("%s: %q %v, expected %q", formula, got, ok, want)
		}
	}
}
