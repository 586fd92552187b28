package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/ear"
	"sootline/internal/store"
)

// listenFlags say what is listened to.
type listenFlags struct {
	name, file, tcp, serial, syslog string
	speed, keep                     int
	whole                           bool
	once                            time.Duration
}

func listenCommand(s *session) *cobra.Command {
	var flags listenFlags
	cmd := &cobra.Command{
		Use:   "listen",
		Short: "Listen to what a panel prints, and write what happened into the log",
		Long: "Listen to a panel's printer port, a stream over TCP, a file that grows, or syslog, until it is\n" +
			"interrupted. Nothing is ever sent: a port and a file are opened for reading alone.\n\n" +
			"Before its lines are read, they must be taught: listen for a while, then mark two or three of them\n" +
			"with `sootline listen teach`. Until then, and whatever is not understood later, is kept as it was\n" +
			"heard, beside the book, for the days that --keep says.\n\n" +
			"A line that is understood becomes an entry: an alarm, a fault, a device out of use. While a visit is\n" +
			"open, an activation is a test. Started again, it goes on where it left; nothing is written twice.",
		Example: "  sootline listen --name printer --serial /dev/ttyS0\n" +
			"  sootline listen --name printer --tcp 192.0.2.7:4001\n" +
			"  sootline listen teach printer",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.listen(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.name, "name", "printer", "what the source is called")
	cmd.Flags().StringVar(&flags.file, "file", "", "a file to which another program adds")
	cmd.Flags().BoolVar(&flags.whole, "whole", false, "read the file from its beginning; else what it holds already is passed over")
	cmd.Flags().StringVar(&flags.tcp, "tcp", "", "host and port of a stream of text")
	cmd.Flags().StringVar(&flags.serial, "serial", "", "a serial port, by its device file")
	cmd.Flags().StringVar(&flags.syslog, "syslog", "", "an address of this machine at which syslog is heard, :5514 say")
	cmd.Flags().IntVar(&flags.speed, "speed", 0, "bits a second of the serial port (else it is found out)")
	cmd.Flags().IntVar(&flags.keep, "keep", 60, "for how many days what was heard is kept as it came")
	cmd.Flags().DurationVar(&flags.once, "for", 0, "end after this time, 10m say (else it goes on until it is interrupted)")
	cmd.AddCommand(listenTeach(s), listenStatus(s), listenSource(s), listenAgain(s), listenValues(s))
	return cmd
}

// source gives what the flags name.
func (f *listenFlags) source() (ear.Source, error) {
	given := []struct {
		kind    ear.Kind
		address string
	}{{ear.File, f.file}, {ear.TCP, f.tcp}, {ear.Serial, f.serial}, {ear.Syslog, f.syslog}}
	var found ear.Source
	for _, g := range given {
		if g.address == "" {
			continue
		}
		if found != nil {
			return nil, usageError{errors.New("a source is one of --file, --tcp, --serial and --syslog")}
		}
		var err error
		if found, err = ear.Open(g.kind, g.address, f.speed); err != nil {
			return nil, err
		}
	}
	if growing, ok := found.(ear.Growing); ok {
		growing.Whole = f.whole
		return growing, nil
	}
	if found == nil {
		return nil, usageError{errors.New("say what to listen to: --file, --tcp, --serial or --syslog")}
	}
	return found, nil
}

// hearing prints what becomes of lines, and counts them.
type hearing struct {
	*session
	hearer *app.Hearer
	counts heardCounts
}

// heardCounts are how many lines became what.
type heardCounts struct{ lines, entries, kept int }

func (s *session) listen(ctx context.Context, a *app.App, site store.SiteLine, flags listenFlags) (err error) {
	source, err := s.sourceOf(ctx, a, site, flags)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	if flags.once > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, flags.once)
		defer cancel()
	}
	hearer, err := a.Hearer(site, flags.name, flags.keep)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, hearer.Close()) }()
	h := &hearing{session: s, hearer: hearer}
	hearer.Tell, hearer.Say = h.tell, func(text string) { fmt.Fprintln(s.err, text) }
	if err := hearer.Begin(context.WithoutCancel(ctx)); err != nil {
		return err
	}
	if !hearer.Taught() {
		fmt.Fprintf(s.out, "Nobody has taught yet how the lines of %s are read: they are kept as they come.\n", flags.name)
	}
	if err := hearer.Listen(ctx, source); err != nil {
		return err
	}
	return h.end(ctx)
}

// sourceOf is what the flags name, or where the site says that the source is heard.
func (s *session) sourceOf(ctx context.Context, a *app.App, site store.SiteLine, flags listenFlags) (ear.Source, error) {
	if flags.file+flags.tcp+flags.serial+flags.syslog != "" {
		return flags.source()
	}
	kept, err := a.SourceNamed(ctx, site.ID, flags.name)
	if sootline.ErrorCode(err) == sootline.NotFound || err == nil && kept.Via == "" {
		return flags.source()
	}
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(s.err, "%s is heard by %s, %s\n", kept.Name, kept.Via, kept.Address)
	return ear.Open(ear.Kind(kept.Via), kept.Address, kept.Speed)
}

// end reads what waits, and says what came of all.
func (h *hearing) end(ctx context.Context) error {
	if !h.hearer.Taught() {
		return nil
	}
	if err := h.hearer.End(ctx); err != nil {
		return err
	}
	_, err := fmt.Fprintf(h.out, "%s; %s written; %s not understood, and kept as heard\n",
		count(h.counts.lines, "line", "lines"), count(h.counts.entries, "entry", "entries"), count(h.counts.kept, "line", "lines"))
	return err
}

// tell prints what became of a line; of one that was heard before, what is new about it.
func (h *hearing) tell(t *app.Told, again bool) {
	if t.Shown != "" && !again {
		h.counts.lines++
	}
	zone := h.hearer.Zone()
	for i := range t.Wrote {
		h.counts.entries++
		fmt.Fprintf(h.out, "%s  %-10s %s\n", t.At.In(zone).Format("15:04:05"), t.Point, oneLine(sootline.Say(t.Wrote[i].Body)))
	}
	if t.Read == nil && t.Shown != "" && !again {
		h.counts.kept++
		fmt.Fprintf(h.out, "%s  not understood, %s: %s\n", t.At.In(zone).Format("15:04:05"), t.Why, oneLine(t.Shown))
	}
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
