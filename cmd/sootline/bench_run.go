package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

const benchTalkHelp = "For each device the card is shown, then is asked: its serial, the number read back, the settings wanted,\n" +
	"and samples of its resting value, a line each, until an empty line. Instead of a serial:\n\n" +
	"  type NAME    the device in hand is of another type\n" +
	"  new          it gets a new place\n" +
	"  skip WHY     leave the place for later\n" +
	"  reject WHY   put the device aside; its serial is asked\n" +
	"  undo         take back what you did last\n" +
	"  left         what is left\n" +
	"  leave        leave; the run stays open\n"

// talk is the dialogue of a run.
type talk struct {
	*session
	cmd  *cobra.Command
	a    *app.App
	site store.SiteLine
	run  string
	wish app.HandWish
}

func benchRun(s *session) *cobra.Command {
	t := talk{session: s}
	cmd := &cobra.Command{
		Use: "run", Short: "Go through a run, device by device",
		Long:    "Go through a run, device by device, on a terminal or with a scanner that writes lines.\n" + benchTalkHelp,
		Example: "  sootline bench run\n  sootline bench run --from-back --by \"B. Tech\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				t.cmd, t.a, t.site = cmd, a, site
				return t.through()
			})
		},
	}
	addRun(cmd, &t.run)
	cmd.Flags().BoolVar(&t.wish.FromBack, "from-back", false, "from the last place on: two people meet in the middle")
	return cmd
}

// through goes from device to device until nothing is left or somebody leaves.
func (t *talk) through() error {
	for {
		b, err := t.a.Bench(t.cmd.Context(), t.site, t.run)
		if err != nil {
			return err
		}
		t.run = b.ID.String()
		h, ok, err := b.HandAsWished(t.wish)
		if err != nil {
			return err
		}
		if !ok {
			fmt.Fprintf(t.out, "Every place of %s has its device.\n", b.Title())
			t.printBenchLeft(b)
			fmt.Fprintln(t.out, "Next: sootline bench end")
			return nil
		}
		t.printHand(b, h)
		leave, err := t.device(b, h)
		if leave || err != nil {
			return err
		}
	}
}

// device asks for one device. A word in the place of the serial does something else.
func (t *talk) device(b *app.BenchRun, h app.BenchHand) (leave bool, err error) {
	answer, err := t.asks("serial: ")
	if err != nil {
		return true, t.left()
	}
	word, rest, _ := strings.Cut(answer, " ")
	rest = strings.TrimSpace(rest)
	back := t.wish.FromBack
	switch strings.ToLower(word) {
	case "leave":
		return true, t.left()
	case "skip":
		place := ""
		if h.Place != nil {
			place = h.Place.Point.ID.String()
		}
		return false, t.said(t.a.BenchSkip(t.cmd.Context(), t.site, t.run, place, rest), "Skipped; it comes again at the end.")
	case "reject":
		return false, t.reject(h, rest)
	case "undo":
		undone, err := t.a.BenchUndo(t.cmd.Context(), t.site, t.run, sootline.ID{})
		return false, t.said(err, "Taken back: "+sootline.Say(undone.Benched)+".")
	case "left":
		t.printBenchLeft(b)
		return false, nil
	case "new":
		t.wish = app.HandWish{New: true, FromBack: back}
		return false, nil
	case "type":
		t.wish = app.HandWish{Device: sootline.BoxDevice{Type: rest}, New: t.wish.New, FromBack: back}
		return false, nil
	case "?", "help":
		fmt.Fprint(t.out, benchTalkHelp)
		return false, nil
	}
	return t.set(b, h, answer)
}

// asks asks for a line. Where no terminal shows what is typed, it is shown here, so
// that whoever reads along sees both.
func (t *talk) asks(prompt string) (string, error) {
	answer, err := t.ask(prompt)
	if err == nil && !terminal(t.in) {
		fmt.Fprintln(t.out, answer)
	}
	return answer, err
}

// left says that the run waits.
func (t *talk) left() error {
	_, err := fmt.Fprintln(t.out, "\nThe run stays open: sootline bench run")
	return err
}

// said tells of what was done; trouble of one device is told, and the run goes on.
func (t *talk) said(err error, done string) error {
	if err == nil {
		fmt.Fprintf(t.out, "%s\n", wrapTo(done, 2, benchWidth))
		return nil
	}
	switch sootline.ErrorCode(err) {
	case sootline.Conflict, sootline.Doubtful, sootline.Invalid, sootline.NotFound, sootline.Forbidden:
		fmt.Fprintf(t.out, "Not written: %s.\n", wrapTo(err.Error(), 2, benchWidth))
		return nil
	}
	return err
}

func (t *talk) reject(h app.BenchHand, why string) error {
	serial, err := t.asks("serial of the device to reject: ")
	if err != nil {
		return t.left()
	}
	if why == "" {
		if why, err = t.asks("why: "); err != nil {
			return t.left()
		}
	}
	place := ""
	if h.Place != nil {
		place = h.Place.Point.ID.String()
	}
	return t.said(t.a.BenchReject(t.cmd.Context(), t.site, t.run, place, sootline.BoxDevice{Unit: sootline.Unit{Serial: serial}}, why),
		"Rejected; it is on the pile, and its place stays open.")
}

// set asks for the rest of a device, says what is to be said, and writes it.
func (t *talk) set(b *app.BenchRun, h app.BenchHand, serial string) (leave bool, err error) {
	var g app.BenchGiven
	g.Serial, g.Type = serial, t.wish.Device.Type
	if b.Said.First == sootline.DeviceFirst && serial != "" && !t.wish.New {
		if given, ok := b.HandOf(sootline.BoxDevice{Unit: g.Unit, Type: g.Type}); ok && (h.Place == nil || given.Place != h.Place) {
			h = b.WithCard(given)
			t.printHand(b, h)
		}
	}
	if h.Place != nil {
		g.Point = h.Place.Point.ID
	}
	if err := t.askRest(b, h, &g); err != nil {
		return true, t.left()
	}
	looked := b.Look(g.Given)
	if refused := looked.Worst(app.BenchRefused); len(refused) == 0 && len(looked.Worst(app.BenchAsked)) > 0 {
		t.printLooked(&looked)
		answer, err := t.asks("write it all the same? [y/N] ")
		if err != nil {
			return true, t.left()
		}
		if g.Sure = yes(answer); !g.Sure {
			fmt.Fprintln(t.out, "Not written.")
			return false, nil
		}
	}
	done, err := t.a.BenchDone(t.cmd.Context(), t.site, t.run, g)
	if err != nil {
		return false, t.said(err, "")
	}
	t.wish = app.HandWish{FromBack: t.wish.FromBack}
	return false, t.printDone(t.cmd, t.a, t.site, b, &done, serial)
}

func yes(answer string) bool {
	answer = strings.ToLower(answer)
	return answer == "y" || answer == "yes"
}

// askRest asks for the number read back, the settings and the samples.
func (t *talk) askRest(b *app.BenchRun, h app.BenchHand, g *app.BenchGiven) error {
	for {
		answer, err := t.asks("number read back (empty: not read back): ")
		if err != nil {
			return err
		}
		if answer == "" {
			break
		}
		if g.Read, err = app.TypedAddress(answer); err == nil {
			break
		}
		fmt.Fprintf(t.out, "   %s\n", err)
	}
	for _, m := range h.Modes {
		answer, err := t.asks(fmt.Sprintf("%s found (%s is wanted; empty: not looked at): ", m.Name, m.Choice))
		if err != nil {
			return err
		}
		if answer != "" {
			if g.Modes == nil {
				g.Modes = map[string]string{}
			}
			g.Modes[m.Name] = answer
		}
	}
	if !b.Judged(b.TypeOf(g.Given)) {
		return nil
	}
	return t.askSamples(b, g)
}

// askSamples takes samples as they come, and judges them as far as they have come.
func (t *talk) askSamples(b *app.BenchRun, g *app.BenchGiven) error {
	var began time.Time
	for {
		answer, err := t.asks("samples (empty: no more): ")
		if err != nil || answer == "" {
			return err
		}
		samples, err := app.TypedSamples(answer)
		if err != nil {
			fmt.Fprintf(t.out, "   %s\n", err)
			continue
		}
		if began.IsZero() {
			began = now()
		}
		g.Samples, g.Seconds = append(g.Samples, samples...), now().Sub(began).Seconds()
		if looked := b.Look(g.Given); valueWords(looked.Value) != "" {
			t.benchLine("", valueWords(looked.Value))
		}
	}
}
