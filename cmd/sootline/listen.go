package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
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
	cmd.AddCommand(listenTeach(s), listenStatus(s), listenValues(s))
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

// journalFolder is where what a source said is kept: beside the book.
func (s *session) journalFolder(site sootline.ID, source string) (string, error) {
	if _, err := sootline.ProperName("source", source, 40); err != nil {
		return "", err
	}
	if strings.ContainsAny(source, `/\:`) || strings.HasPrefix(source, ".") {
		return "", usageError{fmt.Errorf("%q cannot be the name of a source: it names a folder", source)}
	}
	book, err := s.book()
	if err != nil {
		return "", err
	}
	return filepath.Join(book+".heard", site.String(), source), nil
}

// hearer keeps what arrives, reads it, and prints what was told.
type hearer struct {
	*session
	lock    sync.Mutex
	ctx     context.Context
	journal *ear.Journal
	reading *app.Listening // nil: it was not taught yet
	counts  heardCounts
	last    time.Time // when something came last
	silent  bool      // that nothing comes was told to the reader
	again   bool      // what was heard before is read again
}

// heardCounts are how many lines became what.
type heardCounts struct{ lines, entries, kept int }

// Reading begins this many bytes before the end of what was kept: the lines before it were read by whoever ran before.
const readBack = 1 << 20

// settled is how long nothing comes before that ends what was being said.
const settled = 5 * time.Second

func (s *session) listen(ctx context.Context, a *app.App, site store.SiteLine, flags listenFlags) (err error) {
	source, err := flags.source()
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
	folder, err := s.journalFolder(site.ID, flags.name)
	if err != nil {
		return err
	}
	journal, err := ear.OpenJournal(folder)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, journal.Close()) }()
	if err := journal.Trim(now().AddDate(0, 0, -flags.keep)); err != nil {
		return err
	}
	h := &hearer{session: s, ctx: context.WithoutCancel(ctx), journal: journal, last: now()}
	if err := h.begin(a, site, flags.name); err != nil {
		return err
	}
	if err := h.during(ctx, source); err != nil {
		return err
	}
	return h.end()
}

// begin reads again what was heard last, so that nothing is lost that was heard and not written.
func (h *hearer) begin(a *app.App, site store.SiteLine, name string) error {
	reading, err := a.Listen(h.ctx, site, name)
	if sootline.ErrorCode(err) == sootline.NotFound {
		fmt.Fprintf(h.out, "Nobody has taught yet how the lines of %s are read: they are kept as they come.\n", name)
		return nil
	}
	if err != nil {
		return err
	}
	h.reading, h.again = reading, true
	first := true
	err = h.journal.Each(max(0, h.journal.Next()-readBack), func(at int64, one ear.Heard) error {
		if first {
			h.reading.Begin(at)
			h.last, first = one.At, false
		}
		return h.read(one)
	})
	if first {
		h.reading.Begin(h.journal.Next())
	}
	h.again, h.counts = false, heardCounts{entries: h.counts.entries}
	return err
}

// during listens until ctx ends.
func (h *hearer) during(ctx context.Context, source ear.Source) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var quietly error
	var wait sync.WaitGroup
	wait.Add(1)
	go func() {
		defer wait.Done()
		defer cancel()
		defer sootline.Caught(&quietly)
		quietly = h.tellSilence(ctx)
	}()
	err := source.Listen(ctx, h.journal.Place(), ear.Out{Hear: h.hear, Say: h.say, Now: now})
	cancel()
	wait.Wait()
	return errors.Join(err, quietly)
}

// hear keeps a piece, then reads it.
func (h *hearer) hear(one ear.Heard) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	if err := h.journal.Add(one); err != nil {
		return err
	}
	h.silent = false
	return h.read(one)
}

func (h *hearer) say(text string) { fmt.Fprintln(h.err, text) }

// tellSilence tells the reader when nothing comes: a line that waits for another is whole then.
func (h *hearer) tellSilence(ctx context.Context) error {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
		h.lock.Lock()
		var err error
		if !h.silent && now().Sub(h.last) >= settled {
			h.silent = true
			err = h.read(ear.Heard{At: now()})
		}
		h.lock.Unlock()
		if err != nil {
			return err
		}
	}
}

// read hands a piece to the reader, and prints what was told.
func (h *hearer) read(one ear.Heard) error {
	if h.reading == nil {
		return nil
	}
	if len(one.Bytes) > 0 {
		if one.At.Sub(h.last) >= settled {
			if err := h.hand(one.At, nil); err != nil {
				return err
			}
		}
		h.last = one.At
	}
	return h.hand(one.At, one.Bytes)
}

func (h *hearer) hand(at time.Time, b []byte) error {
	told, err := h.reading.Hear(h.ctx, at, b)
	for i := range told {
		h.tell(&told[i])
	}
	return err
}

// end reads what waits, and says what came of all.
func (h *hearer) end() error {
	if h.reading == nil {
		return nil
	}
	if err := h.read(ear.Heard{At: now()}); err != nil {
		return err
	}
	_, err := fmt.Fprintf(h.out, "%s; %s written; %s not understood, and kept as heard\n",
		count(h.counts.lines, "line", "lines"), count(h.counts.entries, "entry", "entries"), count(h.counts.kept, "line", "lines"))
	return err
}

// tell prints what became of a line.
func (h *hearer) tell(t *app.Told) {
	if t.Shown != "" {
		h.counts.lines++
	}
	for i := range t.Wrote {
		h.counts.entries++
		fmt.Fprintf(h.out, "%s  %-10s %s\n", t.At.In(h.reading.Zone()).Format("15:04:05"), t.Point, oneLine(sootline.Say(t.Wrote[i].Body)))
	}
	if t.Read == nil && t.Shown != "" && !h.again {
		h.counts.kept++
		fmt.Fprintf(h.out, "%s  not understood, %s: %s\n", t.At.In(h.reading.Zone()).Format("15:04:05"), t.Why, oneLine(t.Shown))
	}
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
