package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/listing"
	"sootline/internal/store"
)

type takeFlags struct {
	yes, dryRun, asIs, hidden bool
	wanted                    bool
	allow                     []string
	mapFile                   string
}

func takeCommand(s *session) *cobra.Command {
	var flags takeFlags
	cmd := &cobra.Command{
		Use:   "take FILE...",
		Short: "Take in listings of any shape: type sheets, schedules, readings, events",
		Long: "Take in listings of any shape: CSV, TSV, aligned text, XLSX, XLS, ODS, web pages, JSON, SYLK,\n" +
			"DIF, or an archive of these, with or without headings; - is standard input.\n" +
			"Type sheets, schedules, readings and events are recognised by what their columns hold.\n\n" +
			"First it shows what it understood, column by column, and what the rows would do; then it\n" +
			"asks. Nothing is guessed in silence: where day and month cannot be told apart, it asks. --yes takes\n" +
			"what is certain and nothing else: a table with an open question is left out, and the command\n" +
			"ends with 1; with 3 where all was refused. What is known is undone only where --allow says so.\n" +
			"Rows that cannot be used go to NAME.left.csv with the reason, ready to be mended and taken\n" +
			"again. Taking the same file twice adds nothing.",
		Example: "  sootline take types.csv schedule.xlsx readings-2025.csv --site Works\n" +
			"  sootline take readings.csv --site Works --map supplier.json --yes",
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.take(cmd, a, site, args, flags)
			})
		},
	}
	cmd.Flags().BoolVarP(&flags.yes, "yes", "y", false, "take in without asking")
	cmd.Flags().BoolVar(&flags.dryRun, "dry-run", false, "show what would happen, and take nothing in")
	cmd.Flags().BoolVar(&flags.asIs, "as-is", false, "take values that look ten times too large as they are")
	cmd.Flags().BoolVar(&flags.wanted, "wanted", false, "the numbers of schedules are those that devices shall have, not how they stand")
	cmd.Flags().BoolVar(&flags.hidden, "hidden", false, "take hidden sheets, rows and columns too")
	cmd.Flags().StringSliceVar(&flags.allow, "allow", nil, "what of the known may be undone: replace, retype, move, rename, remove, set, sheet")
	cmd.Flags().StringVar(&flags.mapFile, "map", "", "what columns mean and how dates are written; the file is made when it is not there")
	cmd.AddCommand(takeList(s), takeUndo(s), takeAlias(s))
	return cmd
}

func (s *session) take(cmd *cobra.Command, a *app.App, site store.SiteLine, paths []string, flags takeFlags) (err error) {
	profiles, err := readProfiles(flags.mapFile)
	if err != nil {
		return err
	}
	if flags.wanted {
		profiles = listing.AllWanted(profiles)
	}
	if flags.hidden {
		profiles = withHidden(profiles)
	}
	handed, remove, err := s.handed(paths)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, remove()) }()
	in, err := a.LookAt(cmd.Context(), site.ID, handed, profiles)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	s.progress.clear()
	if err := a.Recall(cmd.Context(), site.ID, in); err != nil {
		return err
	}
	if err := s.offerLearned(in, flags.yes); err != nil {
		return err
	}
	if err := s.settleQuestions(in); err != nil {
		return err
	}
	opts := app.TakeOptions{AsIs: flags.asIs}
	if opts.Allow, err = app.ParseEffects(flags.allow); err != nil {
		return err
	}
	if !flags.yes {
		done, err := s.previewed(cmd, a, site, in, &opts, flags.dryRun)
		if done || err != nil {
			return err
		}
	}
	out, err := a.Take(cmd.Context(), site.ID, in, opts)
	if err != nil {
		return err
	}
	s.progress.clear()
	if err := s.showOutcome(out, "added", !flags.yes); err != nil {
		return err
	}
	if err := saveProfiles(flags.mapFile, in); err != nil {
		return err
	}
	if out.Ending() == app.EndRefused {
		return ended(out)
	}
	if out.Act != nil {
		if said, ok := out.Act.Body.(sootline.Taken); ok {
			fmt.Fprintf(s.out, "\nThis take is %s; it is taken back whole with: sootline take undo %[1]s --site %[2]s\n", said.Name, shellWord(site.Name))
		}
	}
	if out.Ending() == app.EndOpen && out.Added == 0 {
		return ended(out)
	}
	fmt.Fprintf(s.out, "\nNext:\n\n  sootline check --site %[1]s\n  sootline judge --site %[1]s\n", shellWord(site.Name))
	return ended(out)
}

// previewed shows what would happen and asks for a yes, and for one more for each way in which what is known would be
// undone. It is done where that was all.
func (s *session) previewed(cmd *cobra.Command, a *app.App, site store.SiteLine, in *app.Intake, opts *app.TakeOptions, only bool) (done bool, err error) {
	for _, table := range in.Tables {
		if err := s.showUnderstood(table); err != nil {
			return true, err
		}
	}
	out, err := a.Preview(cmd.Context(), site.ID, in, *opts)
	if err != nil {
		return true, err
	}
	if out, err = s.settleSpellings(cmd, a, site, in, out, opts); err != nil {
		return true, err
	}
	if err := s.showOutcome(out, "would add", true); err != nil {
		return true, err
	}
	if only {
		if _, err := fmt.Fprintln(s.out, "\nNothing was taken in: this was a dry run."); err != nil {
			return true, err
		}
		return true, ended(out)
	}
	if err := s.confirm("Take this in?"); err != nil {
		return true, err
	}
	for _, e := range app.Effects() {
		yes, err := s.allows(e, out.Undone(e))
		if err != nil {
			return true, err
		}
		if yes {
			opts.Allow = append(opts.Allow, e)
		}
	}
	return false, nil
}

// allows shows what would be undone by one effect, and asks for a yes to it alone.
func (s *session) allows(e app.Effect, u app.EffectRows) (bool, error) {
	if u.Held == 0 {
		return false, nil
	}
	fmt.Fprintln(s.out)
	for _, says := range u.Says {
		fmt.Fprintf(s.out, "  %s\n", wrap(withRow(says), 4))
	}
	if more := u.Rows - len(u.Says); more > 0 {
		fmt.Fprintf(s.out, "  and %d more\n", more)
	}
	return s.agrees(sootline.Capital(e.Ask(u.Held)) + " The rows stay out else.")
}

// ended gives the end of an intake, or of one that was only tried, to the caller: a question left open, or nothing that
// could be used.
func ended(out *app.Outcome) error {
	switch out.Ending() {
	case app.EndOpen:
		return errFindings
	case app.EndRefused:
		return sootline.Errorf(sootline.Conflict, "mend what is named above, and take it again", "nothing was taken in: none of it can be used")
	}
	return nil
}

// settleQuestions asks what cannot be told from the tables. Without a terminal
// to ask on, the answer must stand in a map file; what hangs on a question stays
// open, and is put aside.
func (s *session) settleQuestions(in *app.Intake) error {
	if !terminal(s.in) {
		return nil
	}
	for _, table := range in.Tables {
		for len(table.Questions) > 0 {
			q := table.Questions[0]
			fmt.Fprintf(s.out, "\n%s: %s\n", tableName(table), wrap(q.Text, 2))
			if err := s.showChoices(table, q); err != nil {
				return err
			}
			answer, err := s.ask("> ")
			if err != nil {
				return err
			}
			value, ok := chosen(q, answer)
			if !ok {
				tell(s.err, noLetter(answer, len(q.Choices)))
				continue
			}
			if err := table.Answer(q.ID, value); err != nil {
				tell(s.err, err)
			}
		}
	}
	return nil
}

// chosen turns the letter of a choice into its answer. Where there are choices nothing else is an answer: a 2 could be
// the second of them, or a column.
func chosen(q listing.Question, answer string) (value string, ok bool) {
	if len(q.Choices) == 0 {
		return answer, true
	}
	i, ok := letterOf(answer, len(q.Choices))
	if !ok {
		return answer, mayBeTyped(q.ID, answer)
	}
	return q.Choices[i].Value, true
}

// mayBeTyped: a day, a year or a day of the month, where none of those offered is it.
func mayBeTyped(question, answer string) bool {
	switch question {
	case listing.AskDate:
		return len(answer) > len("31")
	case listing.AskYear, listing.AskMonthDay:
		_, err := strconv.Atoi(answer)
		return err == nil
	}
	return false
}

// letterOf gives the place of a letter among so many: a is the first.
func letterOf(answer string, most int) (int, bool) {
	if len(answer) != 1 || answer[0] < 'a' || int(answer[0]-'a') >= most {
		return 0, false
	}
	return int(answer[0] - 'a'), true
}

func noLetter(answer string, most int) error {
	return sootline.Errorf(sootline.Invalid, fmt.Sprintf("write one of the letters a to %c", 'a'+most-1), "%q is none of the answers", answer)
}

func (s *session) ask(prompt string) (string, error) {
	fmt.Fprint(s.out, prompt)
	if s.answers == nil {
		s.answers = bufio.NewReader(s.in)
	}
	line, err := s.answers.ReadString('\n')
	if err != nil && line == "" {
		return "", sootline.Errorf(sootline.Invalid, "nothing was done", "no answer")
	}
	return strings.TrimSpace(line), nil
}

func (s *session) confirm(question string) error {
	if !terminal(s.in) {
		return sootline.Errorf(sootline.Invalid, "say --yes to take it in, or --dry-run to only look", "nothing was taken in: there is no terminal to ask on")
	}
	yes, err := s.agrees(question)
	if err == nil && !yes {
		err = sootline.Errorf(sootline.Invalid, "", "nothing was taken in")
	}
	return err
}

// agrees asks for a yes or a no, until it is one of them; nothing is a no.
func (s *session) agrees(question string) (bool, error) {
	for {
		answer, err := s.ask("\n" + question + " [y/N] ")
		if err != nil {
			return false, err
		}
		switch strings.ToLower(answer) {
		case "y", "yes":
			return true, nil
		case "n", "no", "":
			return false, nil
		}
		tell(s.err, sootline.Errorf(sootline.Invalid, "write y or n", "%q is neither a yes nor a no", answer))
	}
}

func tableName(t *app.IntakeTable) string {
	name := t.Path
	if t.Table.Name != "" {
		name += ", sheet " + t.Table.Name
	}
	if part := t.Where(); part != "" {
		name += ", " + part
	}
	return name
}

// readProfiles reads a map file; one that is not there yet is made after the
// intake.
func readProfiles(path string) ([]listing.Profile, error) {
	if path == "" {
		return nil, nil
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "read the map file: %w", err)
	}
	profiles, err := listing.ParseProfiles(data)
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "docs/formats/listings.md describes it", "map file %s: %w", path, err)
	}
	return profiles, nil
}

func saveProfiles(path string, in *app.Intake) error {
	if path == "" {
		return nil
	}
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	var profiles []listing.Profile
	for _, table := range in.Tables {
		profiles = append(profiles, table.Understanding.Profile())
	}
	data, err := json.MarshalIndent(profiles, "", "  ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(path, append(data, '\n'), 0o600); err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "write the map file: %w", err)
	}
	return nil
}
