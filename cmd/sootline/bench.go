package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// benchWidth is how wide the output of the bench is: a small terminal beside the box.
const benchWidth = 80

func benchCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "bench", Short: "Set devices out of their box, one after another",
		Long: "Set devices out of their box, one after another: which number, how it is set, what to read back,\n" +
			"how it rests, and where it goes. A run begins with places of the register, with a list of the\n" +
			"box, or with nothing. `sootline bench run` asks for one device after another; the other commands\n" +
			"do the same one by one. Sootline writes into no device: it says what to set, and keeps what you say.",
		Example: "  sootline bench begin --loop 1.2 --box box.csv --name \"loop 2\"\n  sootline bench run\n" +
			"  sootline bench done --serial A1B2 --read 14 --value \"27 28 27\"\n  sootline bench left\n  sootline bench end",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return s.listBenches(cmd, a, site) })
		},
	}
	cmd.AddCommand(
		benchBegin(s), benchRun(s), benchNext(s), benchLook(s), benchDone(s), benchSkip(s), benchReject(s), benchUndo(s),
		benchShow(s), benchLeft(s), benchEnd(s), benchReopen(s), benchReplace(s),
	)
	return cmd
}

// noOrderInBy refuses the name of an order where a person is named: --by says who is
// at work, at every command.
func (s *session) noOrderInBy() error {
	switch s.by {
	case "number", "cable", "zone", "area", "floor":
		return usageError{fmt.Errorf("--by says who is at work, and %q is an order: write --order %s", s.by, s.by)}
	}
	return nil
}

// addRun adds the flag that names a run.
func addRun(cmd *cobra.Command, run *string) {
	cmd.Flags().StringVar(run, "run", "", "the run, by its name or id; not needed where one is open")
}

func (s *session) listBenches(cmd *cobra.Command, a *app.App, site store.SiteLine) error {
	runs, err := a.Benches(cmd.Context(), site)
	if err != nil {
		return err
	}
	if len(runs) == 0 {
		_, err := fmt.Fprintf(s.out, "Site %s: no run at the bench yet. Begin one:\n\n  sootline bench begin\n", site.Name)
		return err
	}
	for _, b := range runs {
		state := "open"
		if b.Closed != nil {
			state = "ended on " + b.Closed.At.In(b.Zone).Format("2006-01-02 15:04")
		}
		fmt.Fprintf(s.out, "%s\n  %s; %s\n  %s\n", b.Title(), state, howFar(b), b.ID)
	}
	return nil
}

func countOf(n, of int, one, several string) string {
	word := several
	if of == 1 {
		word = one
	}
	return fmt.Sprintf("%d of %d %s", n, of, word)
}

func benchBegin(s *session) *cobra.Command {
	var o app.BenchOpening
	var first, order, box string
	cmd := &cobra.Command{
		Use: "begin", Short: "Begin a run: places of the register, a list of the box, or nothing",
		Long: "Begin a run. Its places are those of the register that are not set as wanted, in the order of\n" +
			"their numbers; those without a number get the next free ones. With --box FILE the devices of a\n" +
			"list are known by their serials: a table with columns serial, type, batch and made, or a serial a\n" +
			"line. With --empty there are no places: each device gets the next number of the loop, and its place.",
		Example: "  sootline bench begin --loop 1.2\n  sootline bench begin --box box.csv --first device\n  sootline bench begin --empty --loop 1.3 --from 10",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := s.noOrderInBy(); err != nil {
				return err
			}
			o.First, o.By = sootline.BenchFirst(first), app.BenchOrder(order)
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if box != "" {
					devices, troubles, err := a.BoxList(cmd.Context(), box)
					for _, trouble := range troubles {
						fmt.Fprintf(s.out, "%s\n", wrapTo("Not taken from the list: "+trouble+".", 2, benchWidth))
					}
					if err != nil {
						return err
					}
					o.Box = devices
				}
				b, err := a.OpenBench(cmd.Context(), site, o)
				if err != nil {
					return err
				}
				s.printBenchBegun(b)
				return nil
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.Name, "name", "", "what the run is called")
	f.StringVar(&first, "first", "place", "what is given first: the next place, or the next device of the box")
	f.StringVar(&o.Loop, "loop", "", "only places of this loop; of devices without place: their loop")
	f.StringArrayVar(&o.Places, "place", nil, "a place, for example 1.2.073; repeat for more, in their order")
	f.BoolVar(&o.All, "all", false, "also places that are set as wanted")
	f.BoolVar(&o.Empty, "empty", false, "no places: devices come one after another")
	f.StringVar(&order, "order", "number", "in which order: number, cable, area or floor")
	f.StringVar(&box, "box", "", "file with the list of what is in the box")
	f.IntVar(&o.From, "from", 0, "the first number for places without one (default the loop's first)")
	f.StringVar(&o.Text, "text", "", "in words")
	f.BoolVar(&o.Sure, "sure", false, sureHelp)
	return cmd
}

func (s *session) printBenchBegun(b *app.BenchRun) {
	var parts []string
	if len(b.Places) > 0 {
		parts = append(parts, count(len(b.Places), "place", "places"))
	}
	if len(b.Box) > 0 {
		parts = append(parts, count(len(b.Box), "device in the box", "devices in the box"))
	}
	if loop, ok := b.NewLoop(); ok && len(b.Places) == 0 {
		parts = append(parts, "the next numbers of loop "+loop.String())
	}
	fmt.Fprintf(s.out, "Begun: %s, with %s.\nNext: sootline bench run\n", b.Title(), strings.Join(parts, ", "))
}

func benchShow(s *session) *cobra.Command {
	return s.ofRun(cobra.Command{
		Use: "show", Short: "Show how a run stands, place by place",
		Example: "  sootline bench show\n  sootline bench show --run \"loop 2\" --json",
	}, "print JSON, of the shape in docs/formats/json.md", func(a *app.App, b *app.BenchRun, asJSON bool) error {
		if asJSON {
			return printJSON(s.out, shape.OfBench(b, a.Who.Station, a.Who.Name))
		}
		return s.printBench(b)
	})
}

func benchLeft(s *session) *cobra.Command {
	return s.ofRun(cobra.Command{
		Use: "left", Short: "List what is left of a run",
		Example: "  sootline bench left",
	}, "print JSON, as `sootline bench show --json` has it under left", func(_ *app.App, b *app.BenchRun, asJSON bool) error {
		if asJSON {
			return printJSON(s.out, shape.OfBenchLeft(b))
		}
		s.printBenchLeft(b)
		return nil
	})
}

// ofRun makes a command that prints something of a run.
func (s *session) ofRun(cmd cobra.Command, asJSONSays string, print func(a *app.App, b *app.BenchRun, asJSON bool) error) *cobra.Command {
	var run string
	var asJSON bool
	cmd.Args = cobra.NoArgs
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
			b, err := a.Bench(cmd.Context(), site, run)
			if err != nil {
				return err
			}
			return print(a, b, asJSON)
		})
	}
	addRun(&cmd, &run)
	cmd.Flags().BoolVar(&asJSON, "json", false, asJSONSays)
	return &cmd
}

func benchEnd(s *session) *cobra.Command {
	var run, text string
	var sure bool
	cmd := &cobra.Command{
		Use: "end", Short: "End a run; what is left is asked about, and stays listed",
		Example: "  sootline bench end\n  sootline bench end --sure --text \"two bases are missing\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				b, err := a.CloseBench(cmd.Context(), site, run, text, sure)
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "Ended: %s, %s.\n", b.Title(), howFar(b))
				s.printBenchLeft(b)
				fmt.Fprintf(s.out, "Next: sootline paper bench\n")
				return nil
			})
		},
	}
	addRun(cmd, &run)
	cmd.Flags().StringVar(&text, "text", "", "in words")
	cmd.Flags().BoolVar(&sure, "sure", false, "end it although something is left")
	return cmd
}

func benchReopen(s *session) *cobra.Command {
	var run string
	cmd := &cobra.Command{
		Use: "reopen", Short: "Let a run that has ended go on",
		Example: "  sootline bench reopen --run \"loop 2\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				b, err := a.ReopenBench(cmd.Context(), site, run)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Open again: %s, %s.\nNext: sootline bench run\n", b.Title(), progressWords(b))
				return err
			})
		},
	}
	cmd.Flags().StringVar(&run, "run", "", "the run that has ended, by its name or id")
	cmd.MarkFlagRequired("run") //nolint:errcheck // the flag is there
	return cmd
}
