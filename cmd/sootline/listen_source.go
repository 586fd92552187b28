package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// sourceFlags say where a source is heard.
type sourceFlags struct {
	kept       app.KeptSource
	mapFile    string
	show       bool
	every      time.Duration
	drop, back bool
}

func listenSource(s *session) *cobra.Command {
	var flags sourceFlags
	cmd := &cobra.Command{
		Use:   "source NAME",
		Short: "Keep with the site where a source is heard, or what of it is no longer so",
		Long: "Keep with the site where a source is heard: `sootline serve --sources` then listens to it, and\n" +
			"`sootline listen --name NAME` needs no address. The kinds are\n\n" + sourceKinds() +
			"\n--back reads its lines as they were read before somebody taught it last. --drop hears and reads it\n" +
			"no more; what was heard stays beside the book, and what was written in the log.",
		Example: "  sootline listen source printer --via tcp --address 192.0.2.7:4001\n" +
			"  sootline listen source printer --via serial --address /dev/ttyS0 --speed 9600\n" +
			"  sootline listen source printer --back",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			flags.kept.Name = args[0]
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.keepSource(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.kept.Via, "via", "", "by what it is heard: its kind")
	cmd.Flags().StringVar(&flags.kept.Address, "address", "", "where it is heard, as its kind has it")
	cmd.Flags().IntVar(&flags.kept.Speed, "speed", 0, "bits a second of a serial line (else it is found out)")
	cmd.Flags().StringVar(&flags.kept.Panel, "panel", "", "the panel of which it tells")
	cmd.Flags().StringVar(&flags.mapFile, "map", "", "which value is of which point, of a source of values (see `listen values`)")
	cmd.Flags().DurationVar(&flags.every, "every", 24*time.Hour, "how often values are read, a minute at least")
	cmd.Flags().BoolVar(&flags.show, "show", false, "say what the map would do, and keep nothing")
	cmd.Flags().BoolVar(&flags.drop, "drop", false, "hear and read it no more")
	cmd.Flags().BoolVar(&flags.back, "back", false, "take back what was taught last")
	cmd.MarkFlagsMutuallyExclusive("via", "drop", "back")
	cmd.MarkFlagsOneRequired("via", "drop", "back")
	return cmd
}

func sourceKinds() (text string) {
	for _, k := range app.SourceKinds() {
		text += fmt.Sprintf("  %-14s %s\n", k.Kind, k.Says)
	}
	return text
}

func (s *session) keepSource(ctx context.Context, a *app.App, site store.SiteLine, flags sourceFlags) (err error) {
	name, done := flags.kept.Name, ""
	switch {
	case flags.drop:
		err, done = a.DropSource(ctx, site.ID, name), "it is heard and read no more"
	case flags.back:
		err, done = a.TakeBackTaught(ctx, site.ID, name), "what was taught last is taken back"
	default:
		if flags.mapFile != "" {
			read, err := a.ReadMapFile(ctx, site.ID, flags.kept.Via, flags.mapFile)
			if err != nil {
				return err
			}
			s.printMap(read)
			if flags.show {
				fmt.Fprintln(s.out, "\nNothing is kept. Without --show it is.")
				return nil
			}
			flags.kept.Places, flags.kept.Minutes = read.Places, int(flags.every/time.Minute)
		}
		err, done = a.KeepSource(ctx, site.ID, flags.kept), "where it is heard is kept with the site"
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s: %s.\n", name, done)
	return err
}

// printMap says what a map would do.
func (s *session) printMap(m *app.MapRead) {
	for _, h := range m.Heads {
		fmt.Fprintf(s.out, "  column %-10s %q\n", h.Column, h.Heading)
	}
	for _, v := range m.Values {
		unit := sootline.Joined(fmt.Sprintf("x %g", v.Scale), v.Unit)
		fmt.Fprintf(s.out, "  %-10s %-16s %s\n", v.Point, v.Source, s.wrap(sootline.Joined(unit, v.Location, v.Says), 30))
	}
	for _, left := range m.Left {
		fmt.Fprintf(s.out, "  left: %s\n", s.wrap(left, 8))
	}
	fmt.Fprintf(s.out, "%s would be read", count(len(m.Values), "value", "values"))
	if m.Lacks > 0 {
		fmt.Fprintf(s.out, "; %s none", count(m.Lacks, "point has", "points have"))
	}
	fmt.Fprintln(s.out, ".")
}
