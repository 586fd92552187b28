package main

import (
	"fmt"
	"slices"

	"github.com/spf13/pflag"
)

// onceFlag refuses a second value beside another: the first would be gone without a word.
type onceFlag struct {
	pflag.Value
	name  string
	given *string // nil: not yet
}

// Set takes a value that is the first, or the same again.
func (f *onceFlag) Set(text string) error {
	if f.given != nil && *f.given != text {
		return fmt.Errorf("--%s is given twice, and says %q and %q: give it once", f.name, *f.given, text)
	}
	f.given = &text
	return f.Value.Set(text)
}

// onceEach lets each flag that holds one value be given once.
func onceEach(flags *pflag.FlagSet) {
	flags.VisitAll(func(f *pflag.Flag) {
		switch f.Value.(type) {
		case pflag.SliceValue, *saidFlag, *onceFlag:
			return
		}
		if slices.Contains([]string{"string", "int", "float64", "bool", "duration"}, f.Value.Type()) {
			f.Value = &onceFlag{Value: f.Value, name: f.Name}
		}
	})
}
