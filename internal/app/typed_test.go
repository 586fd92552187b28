package app

import (
	"slices"
	"strings"
	"testing"

	"sootline"
)

// TestTypedSamples: what could be one sample or two is refused, with both ways to write it.
func TestTypedSamples(t *testing.T) {
	for text, want := range map[string][]float64{
		"25": {25}, "24.9": {24.9}, "24 9": {24, 9}, "25 26\n25.5": {25, 26, 25.5}, "25,5; 26,5": {25.5, 26.5}, "25, 26": {25, 26}, "-3 ,5": {-3, 0.5},
	} {
		if got, err := TypedSamples(text); err != nil || !slices.Equal(got, want) {
			t.Errorf("%q gives %v, %v; want %v", text, got, err, want)
		}
	}
	for text, ways := range map[string]string{
		"24,9": `write 24.9 for one, or "24 9" for two`, "25,26,25": `"25 26 25"`, "1,234 1,240": "write 1.234 for a decimal, or 1234 for thousands",
		"": "one number", "x": "12.5", "NaN": "12.5", "Inf 3": "12.5", "0x10": "12.5", "1_0": "12.5", "1e999": "12.5",
	} {
		if got, err := TypedSamples(text); err == nil || !strings.Contains(sootline.ErrorHint(err), ways) {
			t.Errorf("%q gives %v, %v, hint %q; want %q", text, got, err, sootline.ErrorHint(err), ways)
		}
	}
}
