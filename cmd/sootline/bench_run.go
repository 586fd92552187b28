package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

const benchTalkHelp = "For each device the card is shown, then is asked: its serial, the number read back, the settings wanted,\n" +
	"and samples of its resting value, a line each, until an empty line. What is to be said of an answer is\n" +
	"said at once; what was answered before is kept. Instead of any answer:\n\n" +
	"  back         answer the question before anew\n" +
	"  skip WHY     leave the place for later\n" +
	"  reject WHY   put the device aside\n" +
	"  undo         take back what you did last\n" +
	"  left         what is left\n" +
	"  leave        leave; the run stays open\n\n" +
	"Instead of a serial also:\n\n" +
	"  type NAME    the device in hand is of another type\n" +
	"  new          it gets a new place\n"

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
		if err := t.device(b, h); errors.Is(err, errLeave) {
			return t.left()
		} else if err != nil {
			return err
		}
	}
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

func yes(answer string) bool {
	answer = strings.ToLower(answer)
	return answer == "y" || answer == "yes"
}
