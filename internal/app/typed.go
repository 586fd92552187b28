package app

import (
	"math"
	"strconv"
	"strings"

	"sootline"
)

// TypedSamples reads samples, or other numbers in a row, as people type them, with spaces or semicolons between them: "25 26 25.5". Where
// several stand so, a comma in one of them is its decimal mark; in a text that stands alone, as "24,9", it could
// as well part two samples, and is refused.
func TypedSamples(text string) ([]float64, error) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ;\t\n\r", r) })
	if len(fields) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "write one number or several with spaces between them, for example 25 26 25", "at least one number is needed")
	}
	var samples []float64
	for _, field := range fields {
		field = strings.TrimSuffix(field, ",")
		if len(fields) == 1 && strings.Contains(field, ",") {
			return nil, twoWays(field)
		}
		x, err := TypedNumber(field)
		if err != nil {
			return nil, err
		}
		if !sootline.Showable(x) {
			return nil, sootline.Errorf(sootline.Invalid, "compare it with the meter", "%q is more than any meter shows", field)
		}
		samples = append(samples, x)
	}
	return samples, nil
}

// twoWays refuses a comma that could part samples, with both ways to write what is meant.
func twoWays(field string) error {
	point, spaces := strings.Replace(field, ",", ".", 1), strings.ReplaceAll(field, ",", " ")
	if strings.Count(field, ",") > 1 {
		return sootline.Errorf(sootline.Invalid, "write numbers with spaces between them, \""+spaces+"\", and a decimal as "+point[:strings.IndexAny(point+",", ",")],
			"%q: nobody can tell whether a comma parts numbers or is a decimal mark", field)
	}
	return sootline.Errorf(sootline.Invalid, "write "+point+" for one, or \""+spaces+"\" for two", "%q could be one number or two", field)
}

// TypedNumber reads one number as people type it, with a point or a comma. A comma before exactly three digits
// could part thousands, and is refused; so is what no meter shows, such as NaN or 0x1p2.
func TypedNumber(text string) (float64, error) {
	text = strings.TrimSpace(text)
	whole, after, comma := strings.Cut(text, ",")
	if bare := strings.TrimLeft(whole, "+-"); comma && len(after) == 3 && digits(after) && digits(bare) && bare != "0" {
		return 0, sootline.Errorf(sootline.Invalid, "write "+whole+"."+after+" for a decimal, or "+whole+after+" for thousands", "%q could be either", text)
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) || strings.ContainsAny(text, "xXpP_") {
		return 0, sootline.Errorf(sootline.Invalid, "write digits, for example 12.5", "%q is not a number", text)
	}
	return x, nil
}

// TypedAddress reads a number that a device answers to, alone on its line.
func TypedAddress(text string) (int, error) {
	text = strings.TrimSpace(text)
	n, err := strconv.Atoi(text)
	if err != nil || !digits(text) || n < 1 || n > 9999 {
		return 0, sootline.Errorf(sootline.Invalid, "write one number, for example 14", "%q is not a number from 1 to 9999", text)
	}
	return n, nil
}

func digits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }
