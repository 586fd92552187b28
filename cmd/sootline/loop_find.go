package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// meterRule stands in the help of every command that is about measuring.
const meterRule = "Before any meter is joined: the panel off and disconnected at both ends, the devices out of their\n" +
	"bases, the isolators bridged. Never test insulation with devices connected."

// finder makes a command that says where along a loop a fault lies.
func (s *session) finder(cmd *cobra.Command, find func(cmd *cobra.Command, a *app.App, site sootline.ID, loop sootline.LoopID) (*app.Located, error)) *cobra.Command {
	var asJSON bool
	cmd.Long += "\n\n" + meterRule
	cmd.Args = cobra.ExactArgs(1)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		loop, err := parseLoopID(args[0])
		if err != nil {
			return err
		}
		return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
			found, err := find(cmd, a, site.ID, loop)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, shape.OfLocation(loop, found))
			}
			fmt.Fprintf(s.out, "%s\n", wrap(found.Sentence, 0))
			if len(found.Assumed) > 0 {
				fmt.Fprintln(s.out)
			}
			s.printAssumed(found.Assumed)
			s.circuitCaution()
			return nil
		})
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, as docs/formats/json.md describes it")
	return cmd
}

func loopShort(s *session) *cobra.Command {
	var out, in, end, meter float64
	cmd := s.finder(&cobra.Command{
		Use: "short LOOP", Short: "Find where a short lies, from the resistance measured at each end",
		Long: "Find where a short between the two cores lies, from the resistance across the pair measured at\n" +
			"each end of the loop with the other end open. The resistance of the short itself cancels out.",
		Example: "  sootline loop short 1.2 --out-ohms 6.4 --in-ohms 11.2 --meter 0.1",
	}, func(cmd *cobra.Command, a *app.App, site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
		return a.FindShort(cmd.Context(), site, loop, app.ShortReading{
			FromOut: app.Ohms(out), FromIn: app.Ohms(in), EndToEnd: app.Ohms(end), Meter: app.Ohms(meter),
		})
	})
	f := cmd.Flags()
	f.Float64Var(&out, "out-ohms", 0, "ohms across the pair at the OUT end (needed)")
	f.Float64Var(&in, "in-ohms", 0, "ohms across the pair at the IN end (needed)")
	f.Float64Var(&end, "end-to-end", 0, "ohms of both cores in series from end to end, when the loop was sound")
	f.Float64Var(&meter, "meter", 0.1, "largest error of one reading in ohms, test leads included")
	cmd.MarkFlagRequired("out-ohms") //nolint:errcheck // the flag is there
	cmd.MarkFlagRequired("in-ohms")  //nolint:errcheck // the flag is there
	return cmd
}

func loopBreak(s *session) *cobra.Command {
	var out, in, share float64
	cmd := s.finder(&cobra.Command{
		Use: "break LOOP", Short: "Find where a core is interrupted, from the capacitance that each end sees",
		Long: "Find where a core is interrupted, from the capacitance between the cores that is measured at each\n" +
			"end of the loop with the other end open: it goes with length. Spurs must be off. Resistance\n" +
			"cannot place a clean break, for no current passes it; with a resistance meter alone, join the\n" +
			"cores at one base after another, as `sootline address search` plans it.",
		Example: "  sootline loop break 1.2 --out-nf 36 --in-nf 54",
	}, func(cmd *cobra.Command, a *app.App, site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
		return a.FindBreak(cmd.Context(), site, loop, out, in, share/100)
	})
	f := cmd.Flags()
	f.Float64Var(&out, "out-nf", 0, "nanofarads between the cores at the OUT end (needed)")
	f.Float64Var(&in, "in-nf", 0, "nanofarads between the cores at the IN end (needed)")
	f.Float64Var(&share, "error", 2, "largest error of one reading, in per cent")
	cmd.MarkFlagRequired("out-nf") //nolint:errcheck // the flag is there
	cmd.MarkFlagRequired("in-nf")  //nolint:errcheck // the flag is there
	return cmd
}

func loopEarth(s *session) *cobra.Command {
	var flags earthFlags
	cmd := s.finder(&cobra.Command{
		Use: "earth LOOP", Short: "Find where one core touches earth, by Murray's, Varley's or Blavier's test",
		Long: "Find where one core touches earth. Both ends of a ring are at the panel, so a bridge may be joined\n" +
			"to the two ends of the faulty core itself; with --companion the way back is the sound core,\n" +
			"joined to the faulty one at IN. One of:\n\n" +
			"  --murray P/Q            the arms at balance, Q on the side of OUT\n" +
			"  --varley P/Q/S1/S2      the fixed arms, and the variable with the bridge at earth and at the loop\n" +
			"  --blavier OPEN/EARTHED  ohms to earth from OUT, the IN end open and earthed; for a core without\n" +
			"                          a sound companion, and a fault that does not change meanwhile",
		Example: "  sootline loop earth 1.2 --core minus --murray 668/332\n  sootline loop earth 1.2 --blavier 9/6.7 --whole 10",
	}, func(cmd *cobra.Command, a *app.App, site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
		reading, err := flags.reading()
		if err != nil {
			return nil, err
		}
		return a.FindEarth(cmd.Context(), site, loop, reading)
	})
	f := cmd.Flags()
	f.StringVar(&flags.murray, "murray", "", "arms at balance, as P/Q")
	f.StringVar(&flags.varley, "varley", "", "arms and balances, as P/Q/S1/S2")
	f.StringVar(&flags.blavier, "blavier", "", "readings in ohms, as OPEN/EARTHED")
	f.StringVar(&flags.core, "core", "plus", "the core that touches earth: plus or minus")
	f.BoolVar(&flags.companion, "companion", false, "the way back is the sound core, joined at IN")
	f.Float64Var(&flags.whole, "whole", 0, "ohms of the core from end to end, as measured when it was sound (Blavier)")
	f.Float64Var(&flags.arms, "error", 1, "largest error of an arm, in per cent")
	f.Float64Var(&flags.meter, "meter", 0.1, "largest error of one reading in ohms (Blavier)")
	return cmd
}

type earthFlags struct {
	murray, varley, blavier string
	core                    string
	companion               bool
	whole, arms, meter      float64
}

func (f *earthFlags) reading() (reading app.EarthReading, err error) {
	switch f.core {
	case "plus":
		reading.Core = app.PlusCore
	case "minus":
		reading.Core = app.MinusCore
	default:
		return reading, sootline.Errorf(sootline.Invalid, "write --core plus or --core minus", "%q is not a core", f.core)
	}
	if given := len(slices.DeleteFunc([]string{f.murray, f.varley, f.blavier}, func(s string) bool { return s == "" })); given != 1 {
		return reading, sootline.Errorf(sootline.Invalid, "for example --murray 668/332", "one of --murray, --varley and --blavier is needed, found %d", given)
	}
	reading.Companion, reading.Arms = f.companion, f.arms/100
	var x []float64
	switch {
	case f.murray != "":
		if x, err = figures(f.murray, 2, "--murray 668/332"); err == nil {
			reading.Test, reading.P, reading.Q = app.MurrayTest, x[0], x[1]
		}
	case f.varley != "":
		if x, err = figures(f.varley, 4, "--varley 10/10/1.9/9.7"); err == nil {
			reading.Test, reading.P, reading.Q, reading.S1, reading.S2 = app.VarleyTest, x[0], x[1], x[2], x[3]
		}
	default:
		if x, err = figures(f.blavier, 2, "--blavier 9/6.7"); err == nil {
			reading.Test, reading.Open, reading.Earthed = app.BlavierTest, app.Ohms(x[0]), app.Ohms(x[1])
			reading.Whole, reading.Meter = app.Ohms(f.whole), app.Ohms(f.meter)
		}
	}
	return reading, err
}

// figures reads numbers between slashes.
func figures(text string, n int, example string) ([]float64, error) {
	parts := strings.Split(text, "/")
	var x []float64
	for _, part := range parts {
		if one, err := strconv.ParseFloat(strings.TrimSpace(part), 64); err == nil {
			x = append(x, one)
		}
	}
	if len(parts) != n || len(x) != n {
		return nil, sootline.Errorf(sootline.Invalid, "for example "+example, "%q is not %d numbers between slashes", text, n)
	}
	return x, nil
}
