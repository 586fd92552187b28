package main

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// deviceFlags are what is said of a device in hand.
type deviceFlags struct {
	run, how, samples string
	found             []string
	wish              app.HandWish
	given             app.BenchGiven
}

// typedAddress reads a flag that is a number to which a device answers; 0 where nobody
// typed one, and only there.
func typedAddress(into *int) func(string) error {
	return func(text string) (err error) {
		*into, err = app.TypedAddress(text)
		return err
	}
}

// add adds the flags of a device that is set.
func (d *deviceFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&d.given.Serial, "serial", "", "its serial")
	f.StringVar(&d.given.Batch, "batch", "", "its batch")
	f.StringVar(&d.given.Made, "made", "", "when it was made, as marked on it")
	f.StringVar(&d.given.Type, "type", "", "its type, where it is not the one planned")
	f.Func("read", "the `NUMBER` read back", typedAddress(&d.given.Read))
	f.StringVar(&d.how, "how", "", "by what: setter, panel or person")
	f.StringArrayVar(&d.found, "found", nil, "a setting found, as name=choice; repeat for more")
	f.StringVar(&d.samples, "value", "", "samples of its resting value, with spaces between them")
	f.Float64Var(&d.given.Seconds, "seconds", 0, "from the first sample to the last, in seconds")
	f.BoolVar(&d.given.Sure, "sure", false, sureHelp)
}

// addPlace adds the flags that say where it goes in a run.
func (d *deviceFlags) addPlace(cmd *cobra.Command) {
	f := cmd.Flags()
	addRun(cmd, &d.run)
	f.StringVar(&d.wish.Place, "place", "", "the place, for example 1.2.073 (default the next one)")
	f.BoolVar(&d.wish.New, "new", false, "a new place is made for it, with the next number")
	f.BoolVar(&d.wish.FromBack, "from-back", false, "the next place from the last one on: two people meet in the middle")
	f.Func("number", "of a new place: its `NUMBER` (default the next free one)", typedAddress(&d.given.Number))
	f.StringVar(&d.given.Location, "location", "", "of a new place: where it is, in words")
	f.StringVar(&d.given.Area, "area", "", "of a new place: its area")
	f.StringVar(&d.given.Zone, "zone", "", "of a new place: its zone")
	f.StringVar(&d.given.Floor, "floor", "", "of a new place: its floor")
}

// read reads what was given as text.
func (d *deviceFlags) read() error {
	var err error
	if strings.TrimSpace(d.samples) != "" {
		if d.given.Samples, err = app.TypedSamples(d.samples); err != nil {
			return err
		}
	}
	d.given.How = sootline.Means(d.how)
	d.given.Modes = map[string]string{}
	for _, text := range d.found {
		name, choice, ok := strings.Cut(text, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return usageError{fmt.Errorf("--found %q is not name=choice", text)}
		}
		d.given.Modes[strings.TrimSpace(name)] = strings.TrimSpace(choice)
	}
	d.wish.Device = sootline.BoxDevice{Unit: d.given.Unit, Type: d.given.Type}
	return nil
}

// onHand runs a command about the device in hand.
func (s *session) onHand(cmd *cobra.Command, d *deviceFlags, do func(a *app.App, site store.SiteLine, b *app.BenchRun, h app.BenchHand, ok bool) error) error {
	if err := d.read(); err != nil {
		return err
	}
	return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
		b, err := a.Bench(cmd.Context(), site, d.run)
		if err != nil {
			return err
		}
		h, ok, err := b.HandAsWished(d.wish)
		if err != nil {
			return err
		}
		if h.Place != nil {
			d.given.Point = h.Place.Point.ID
		}
		return do(a, site, b, h, ok)
	})
}

func benchNext(s *session) *cobra.Command {
	var d deviceFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use: "next", Short: "Show what comes next, with its card; or where a device goes",
		Example: "  sootline bench next\n  sootline bench next --serial A1B2",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.onHand(cmd, &d, func(_ *app.App, _ store.SiteLine, b *app.BenchRun, h app.BenchHand, ok bool) error {
				if d.given.Serial != "" && d.wish.Place == "" && !d.wish.New {
					given, has := b.HandOf(d.wish.Device)
					h, ok = b.WithCard(given), has
				}
				if !ok {
					return benchOver(b)
				}
				if asJSON {
					return printJSON(s.out, shape.OfBenchHand(b, h))
				}
				s.printHand(b, h)
				return nil
			})
		},
	}
	addRun(cmd, &d.run)
	f := cmd.Flags()
	f.StringVar(&d.wish.Place, "place", "", "this place, for example 1.2.073")
	f.BoolVar(&d.wish.New, "new", false, "a new place")
	f.BoolVar(&d.wish.FromBack, "from-back", false, "the next place from the last one on: two people meet in the middle")
	f.StringVar(&d.given.Serial, "serial", "", "where the device of this serial goes")
	f.StringVar(&d.given.Type, "type", "", "where a device of this type goes")
	addJSON(cmd, &asJSON)
	return cmd
}

// benchOver says that nothing comes next.
func benchOver(b *app.BenchRun) error {
	return sootline.Errorf(sootline.NotFound, "see what is left, or end the run: `sootline bench left`, `sootline bench end`", "%s", cmp.Or(b.Gone(), "every place of "+b.Title()+" has its device"))
}

func benchLook(s *session) *cobra.Command {
	var d deviceFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use: "look", Short: "Say what is to be said of a device, and write nothing",
		Example: "  sootline bench look --serial A1B2 --read 14 --value \"27 28 27\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.onHand(cmd, &d, func(_ *app.App, _ store.SiteLine, b *app.BenchRun, _ app.BenchHand, _ bool) error {
				looked := b.Look(d.given.Given)
				if asJSON {
					return printJSON(s.out, shape.OfBenchLook(&looked))
				}
				fmt.Fprintf(s.out, "Number %d.\n", looked.Hand.Number)
				s.printLooked(&looked)
				return nil
			})
		},
	}
	d.add(cmd)
	d.addPlace(cmd)
	addJSON(cmd, &asJSON)
	return cmd
}

func benchDone(s *session) *cobra.Command {
	var d deviceFlags
	cmd := &cobra.Command{
		Use: "done", Short: "Write that a device was set for its place",
		Long: "Write that a device was set for its place, the next one unless --place names another. What cannot\n" +
			"be is refused: a serial or a number set already. What may be a slip is written with --sure.",
		Example: "  sootline bench done --serial A1B2 --read 14 --value \"27 28 27\" --found blink=off",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.onHand(cmd, &d, func(a *app.App, site store.SiteLine, b *app.BenchRun, _ app.BenchHand, ok bool) error {
				if !ok && !d.wish.New {
					return benchOver(b)
				}
				looked, err := a.BenchDone(cmd.Context(), site, b.ID.String(), d.given)
				if err != nil {
					return err
				}
				return s.printDone(cmd, a, site, b, &looked, d.given.Serial)
			})
		},
	}
	d.add(cmd)
	d.addPlace(cmd)
	return cmd
}

// printDone says what was written, and how far the run has come.
func (s *session) printDone(cmd *cobra.Command, a *app.App, site store.SiteLine, b *app.BenchRun, looked *app.BenchLooked, serial string) error {
	name, where := sootline.Ref{Panel: looked.Hand.Loop.Panel, Loop: looked.Hand.Loop.Name, Number: looked.Hand.Number}.String(), ""
	if looked.Hand.Place != nil {
		where = ", " + looked.Hand.Place.Where()
	}
	fmt.Fprintf(s.out, "Set: %s\n", wrapTo(strings.TrimSpace(name+" "+serial)+where, 2, benchWidth))
	s.printWritten(looked)
	after, err := a.Bench(cmd.Context(), site, b.ID.String())
	if err != nil {
		return err
	}
	s.benchLine("", progressWords(after))
	return nil
}

func benchSkip(s *session) *cobra.Command {
	var run, place, why string
	cmd := &cobra.Command{
		Use: "skip", Short: "Leave a place for later",
		Example: "  sootline bench skip --why \"base missing\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if err := a.BenchSkip(cmd.Context(), site, run, place, why); err != nil {
					return err
				}
				_, err := fmt.Fprintln(s.out, "Skipped; it comes again at the end.")
				return err
			})
		},
	}
	addRun(cmd, &run)
	cmd.Flags().StringVar(&place, "place", "", "the place (default the next one)")
	cmd.Flags().StringVar(&why, "why", "", "why, in words")
	return cmd
}

func benchReject(s *session) *cobra.Command {
	var run, place, why string
	var d sootline.BoxDevice
	cmd := &cobra.Command{
		Use: "reject", Short: "Put a device aside, with the reason; its place stays open",
		Example: "  sootline bench reject --serial A1B2 --why \"cracked\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if err := a.BenchReject(cmd.Context(), site, run, place, d, why); err != nil {
					return err
				}
				_, err := fmt.Fprintln(s.out, "Rejected; it is on the pile, and its place stays open.")
				return err
			})
		},
	}
	addRun(cmd, &run)
	f := cmd.Flags()
	f.StringVar(&place, "place", "", "the place it was meant for, if any")
	f.StringVar(&d.Serial, "serial", "", "its serial")
	f.StringVar(&d.Type, "type", "", "its type")
	f.StringVar(&why, "why", "", "why, in words")
	return cmd
}

func benchUndo(s *session) *cobra.Command {
	var run, record string
	var sure bool
	cmd := &cobra.Command{
		Use: "undo", Short: "Take back what you did last in a run, with all that was written with it",
		Example: "  sootline bench undo",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var id sootline.ID
			if record != "" {
				var err error
				if id, err = entryID(record); err != nil {
					return err
				}
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				undone, err := a.BenchUndo(cmd.Context(), site, run, id, sure)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Taken back: %s.\n", wrapTo(undone.Says, 2, benchWidth))
				return err
			})
		},
	}
	addRun(cmd, &run)
	cmd.Flags().StringVar(&record, "record", "", "what to take back, by the id of its entry (default your last)")
	cmd.Flags().BoolVar(&sure, "sure", false, "go on taking back what you did before that")
	return cmd
}
