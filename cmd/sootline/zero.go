package main

import (
	"github.com/spf13/pflag"

	"sootline"
)

// refuseZero refuses a figure that was typed as 0 where 0 is kept as not known: the figure would be gone without a word.
func refuseZero(flags *pflag.FlagSet, flag string, x float64) error {
	if !flags.Changed(flag) || x != 0 {
		return nil
	}
	return sootline.Errorf(sootline.Invalid, "where it is not known leave it out, or take it away with --forget "+flag, "--%s is a number above 0, found 0", flag)
}
