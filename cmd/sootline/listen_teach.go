package main

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/live"
	"sootline/internal/store"
)

// teachFlags are what a person says of lines.
type teachFlags struct {
	lines, words []string
	panel        string
	keep         bool
	last         int
}

func listenTeach(s *session) *cobra.Command {
	var flags teachFlags
	cmd := &cobra.Command{
		Use:   "teach NAME",
		Short: "Mark the parts of two or three lines, and have the others read like them",
		Long: "Mark the parts of two or three lines that were heard. Without --line it shows what was heard, with the\n" +
			"numbers of the lines. Each --line begins with such a number, or two of them with a hyphen where one\n" +
			"record has several lines; then come its parts in the order in which they are printed:\n\n" +
			"  day, time, loop, number, sub, zone, event, text, each as ROLE=what stands there\n\n" +
			"Behind the event stands what it means, after a colon: " + eventNames() + ".\n" +
			"Mark lines of points, each of another event if there are such. What is printed of resets and zones is\n" +
			"found by itself. It then shows what all the lines heard say, and asks what other words mean: answer\n" +
			"with --word \"WORD:meaning\"; nothing means that it is no event. --keep keeps it with the site.",
		Example: "  sootline listen teach printer\n" +
			"  sootline listen teach printer --line \"12 day=12/12/2025 time=08:40:28 event=FIRE ALARM:alarm loop=1 number=111 zone=08 text=Reset hall 4\"\n" +
			"  sootline listen teach printer --line … --line … --word \"FAULT:fault\" --keep",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.teach(cmd.Context(), a, site, args[0], flags)
			})
		},
	}
	cmd.Flags().StringArrayVar(&flags.lines, "line", nil, "a line with its parts marked; several times")
	cmd.Flags().StringArrayVar(&flags.words, "word", nil, "what a word means, WORD:meaning; several times")
	cmd.Flags().StringVar(&flags.panel, "panel", "", "the panel of which the source tells; not needed where the site has one")
	cmd.Flags().BoolVar(&flags.keep, "keep", false, "keep with the site how lines are read")
	cmd.Flags().IntVar(&flags.last, "last", 30, "how many lines are shown")
	return cmd
}

func eventNames() string { return strings.Join(app.EventNames(), ", ") }

func (s *session) teach(ctx context.Context, a *app.App, site store.SiteLine, name string, flags teachFlags) error {
	last, err := a.LastHeard(ctx, site.ID, name)
	if err != nil {
		return err
	}
	heard := last.Chunks
	lines := last.LinesOf(math.MaxInt)
	if len(lines) == 0 {
		return sootline.Errorf(sootline.NotFound, "listen to it first, until some lines came", "nothing was heard of source %q yet", name)
	}
	if len(flags.lines) == 0 {
		return s.showHeard(lines, flags.last)
	}
	teaching := app.Teaching{Source: name, Panel: flags.panel, Heard: heard, Words: map[string]live.Event{}}
	for _, text := range flags.lines {
		example, err := exampleIn(heard, text)
		if err != nil {
			return err
		}
		teaching.Examples = append(teaching.Examples, example)
	}
	for _, text := range flags.words {
		word, means, err := eventIn(text)
		if err != nil {
			return err
		}
		teaching.Words[strings.Join(strings.Fields(word), " ")] = means
	}
	taught, err := a.Teach(ctx, site, teaching)
	if err != nil {
		return err
	}
	s.showTaught(taught, flags.last)
	if !flags.keep {
		fmt.Fprintln(s.out, "\nNothing is kept yet. Where all is as it should be, say the same with --keep.")
		return nil
	}
	if err := a.KeepTaught(ctx, site, taught); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "\nKept with %s: the lines of %s are read so from now on.\n", site.Name, name)
	return nil
}

func (s *session) showHeard(lines []app.HeardLine, last int) error {
	for _, l := range lines[max(0, len(lines)-last):] {
		if _, err := fmt.Fprintf(s.out, "%6d  %s\n", l.Number, l.Text); err != nil {
			return err
		}
	}
	return nil
}

// roleBefore finds where a part begins.
var roleBefore = regexp.MustCompile(`(?:^|\s)(day|time|loop|number|sub|zone|event|text)=`)

// exampleIn reads a line with its parts: 12-13 day=… time=….
func exampleIn(heard []live.Chunk, text string) (live.Example, error) {
	place, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	from, to, two := strings.Cut(place, "-")
	first, err := strconv.Atoi(from)
	last := first
	if err == nil && two {
		last, err = strconv.Atoi(to)
	}
	if err != nil {
		return live.Example{}, usageError{fmt.Errorf("--line %q begins with the number of a line", text)}
	}
	var said []live.Said
	at := roleBefore.FindAllStringSubmatchIndex(rest, -1)
	for i, m := range at {
		end := len(rest)
		if i+1 < len(at) {
			end = at[i+1][0]
		}
		role, _ := live.RoleNamed(rest[m[2]:m[3]])
		one := live.Said{Role: role, Value: strings.TrimSpace(rest[m[1]:end])}
		if role == live.What {
			if one.Value, one.Means, err = eventIn(one.Value); err != nil {
				return live.Example{}, err
			}
		}
		said = append(said, one)
	}
	return live.ExampleOf(heard, first, last, said)
}

// eventIn reads WORD:meaning.
func eventIn(text string) (word string, means live.Event, err error) {
	at := strings.LastIndex(text, ":")
	if at > 0 {
		if means, ok := live.EventNamed(text[at+1:]); ok {
			return strings.TrimSpace(text[:at]), means, nil
		}
	}
	return "", "", usageError{fmt.Errorf("%q: behind the word stands a colon and what it means: %s", text, eventNames())}
}

// showTaught shows what the lines heard say, what is not understood, and what is asked.
func (s *session) showTaught(t *app.Taught, last int) {
	read, kept := t.Counts()
	for i := range t.Lines {
		l := &t.Lines[i]
		if i >= len(t.Lines)-last && l.Shown != "" {
			fmt.Fprintf(s.out, "%-60s %s\n", oneLine(l.Shown), app.ReadAs(l))
		}
	}
	fmt.Fprintf(s.out, "\n%s read; %s not understood.\n", count(read, "record", "records"), count(kept, "line", "lines"))
	for _, q := range t.Asks {
		fmt.Fprintf(s.out, "What does %q mean? It stands in %s, one is: %s\n", q.Word, count(q.Count, "line", "lines"), oneLine(q.Line))
	}
}
