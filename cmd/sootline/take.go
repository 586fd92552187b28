package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/listing"
	"sootline/internal/store"
)

type takeFlags struct {
	yes, dryRun, asIs bool
	wanted            bool
	mapFile           string
}

func takeCommand(s *session) *cobra.Command {
	var flags takeFlags
	cmd := &cobra.Command{
		Use:   "take FILE...",
		Short: "Take in listings of any shape: type sheets, schedules, readings, events",
		Long: "Take in listings of any shape: CSV, TSV, aligned text or XLSX, with or without headings.\n" +
			"Type sheets, schedules, readings and events are recognised by what their columns hold.\n\n" +
			"First it shows what it understood, column by column, and what the rows would do; then it\n" +
			"asks. Nothing is guessed in silence: where day and month cannot be told apart, it asks.\n" +
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
	in, err := a.Look(cmd.Context(), paths, profiles)
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
	if !flags.yes {
		for _, table := range in.Tables {
			if err := s.showUnderstood(table); err != nil {
				return err
			}
		}
		out, err := a.Preview(cmd.Context(), site.ID, in, opts)
		if err != nil {
			return err
		}
		if out, err = s.settleSpellings(cmd, a, site, in, out, &opts); err != nil {
			return err
		}
		s.showOutcome(out, "would add", true)
		if flags.dryRun {
			_, err := fmt.Fprintln(s.out, "\nNothing was taken in: this was a dry run.")
			return err
		}
		if err := s.confirm("Take this in?"); err != nil {
			return err
		}
	}
	out, err := a.Take(cmd.Context(), site.ID, in, opts)
	if err != nil {
		return err
	}
	s.progress.clear()
	s.showOutcome(out, "added", !flags.yes)
	if err := saveProfiles(flags.mapFile, in); err != nil {
		return err
	}
	if out.Act != nil {
		if said, ok := out.Act.Body.(sootline.Taken); ok {
			fmt.Fprintf(s.out, "\nThis take is %s; it is taken back whole with: sootline take undo %[1]s --site %[2]s\n", said.Name, shellWord(site.Name))
		}
	}
	fmt.Fprintf(s.out, "\nNext:\n\n  sootline check --site %[1]s\n  sootline judge --site %[1]s\n", shellWord(site.Name))
	return nil
}

// settleQuestions asks what cannot be told from the tables. Without a terminal
// to ask on, the answer must stand in a map file; what only some rows hang on
// stays open, and those rows are put aside.
func (s *session) settleQuestions(in *app.Intake) error {
	for _, table := range in.Tables {
		for len(table.Questions) > 0 {
			q := table.Questions[0]
			if !terminal(s.in) {
				q, blocked := table.Blocking()
				if !blocked {
					break
				}
				return sootline.Errorf(sootline.Invalid, questionHint(q), "%s: %s", tableName(table), q.Text)
			}
			fmt.Fprintf(s.out, "\n%s: %s\n", tableName(table), q.Text)
			for i, choice := range q.Choices {
				fmt.Fprintf(s.out, "  %c  %s\n", 'a'+i, choice.Text)
			}
			answer, err := s.ask("> ")
			if err != nil {
				return err
			}
			for i, choice := range q.Choices {
				if answer == string(rune('a'+i)) { // letters, since an answer may be a number
					answer = choice.Value
					break
				}
			}
			if err := table.Answer(q.ID, answer); err != nil {
				tell(s.err, err)
			}
		}
	}
	return nil
}

// questionHint shows the map file that would answer the question.
func questionHint(q listing.Question) string {
	hint := "answer on a terminal, or in a file given with --map (docs/formats/listings.md)"
	var answers []string
	for _, choice := range q.Choices {
		var profile listing.Profile
		if err := profile.Answer(q.ID, choice.Value); err != nil {
			continue
		}
		if text, err := json.Marshal(profile); err == nil {
			answers = append(answers, fmt.Sprintf("%s for %s", text, choice.Text))
		}
	}
	if len(answers) == 0 {
		return hint
	}
	return hint + ": " + strings.Join(answers, ", or ")
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
	answer, err := s.ask("\n" + question + " [y/N] ")
	if err != nil {
		return err
	}
	if !slices.Contains([]string{"y", "yes"}, strings.ToLower(answer)) {
		return sootline.Errorf(sootline.Invalid, "", "nothing was taken in")
	}
	return nil
}

func tableName(t *app.IntakeTable) string {
	if t.Table.Name == "" {
		return t.Path
	}
	return t.Path + ", sheet " + t.Table.Name
}

// showUnderstood tells what a table was taken for, column by column.
func (s *session) showUnderstood(t *app.IntakeTable) error {
	fmt.Fprintf(s.out, "%s: %s, %s (%s)\n", tableName(t), app.KindName(t.Kind), count(t.Understanding.Rows, "row", "rows"), t.KindWhy)
	s.showPassedOver(t)
	var rows [][]string
	for columns := t.Columns; len(columns) > 0; {
		run := alike(columns)
		c := run[0]
		columns = columns[len(run):]
		heading := c.Heading
		switch {
		case len(run) > 1:
			heading = strings.TrimSpace(fmt.Sprintf("%s (columns %d to %d)", heading, c.Index+1, run[len(run)-1].Index+1))
		case heading == "":
			heading = fmt.Sprintf("(column %d)", c.Index+1)
		}
		rows = append(rows, []string{heading, string(c.Field), c.Why, strings.Join(c.Samples, " | ")})
	}
	if err := printTable(s.out, []string{"column", "taken as", "because", "for example"}, rows); err != nil {
		return err
	}
	_, err := fmt.Fprintln(s.out)
	return err
}

// showPassedOver counts the rows that were taken for none, with the reason.
func (s *session) showPassedOver(t *app.IntakeTable) {
	for _, skipped := range t.Skipped {
		fmt.Fprintf(s.out, "  passed over: %d x %s, first in row %d\n", skipped.Count, skipped.Why, skipped.First)
	}
}

// showOutcome tells what the rows did, or would do; seen: what was understood of the
// tables was shown before.
func (s *session) showOutcome(out *app.Outcome, did string, seen bool) {
	for _, t := range out.Tables {
		var parts []string
		for _, kind := range slices.Sorted(maps.Keys(t.Added)) {
			parts = append(parts, fmt.Sprintf("%d %s", t.Added[kind], kind))
		}
		if len(parts) == 0 {
			parts = []string{"nothing"}
		}
		fmt.Fprintf(s.out, "%s: %s %s", tableName(t.Table), did, strings.Join(parts, ", "))
		if t.Same > 0 {
			fmt.Fprintf(s.out, "; %s what the book says already", count(t.Same, "row says", "rows say"))
		}
		if t.Repeated > 0 {
			fmt.Fprintf(s.out, "; %s", count(t.Repeated, "row repeats another", "rows repeat others"))
		}
		fmt.Fprintln(s.out)
		if !seen {
			s.showPassedOver(t.Table)
		}
		s.showUnused(t.Table)
		s.showRemarks(t)
		s.showSpellings(t)
		s.showOpen(t.Table)
	}
	for _, table := range out.Skipped {
		fmt.Fprintf(s.out, "%s: left alone; %s\n", tableName(table), table.KindWhy)
	}
}

// showUnused names the columns that hold something of which nothing was taken:
// with --yes nobody has seen that before. Columns beside each other of one
// heading, or none, and one reason are told of at once: a merged range may fill thousands.
func (s *session) showUnused(t *app.IntakeTable) {
	for columns := t.Columns; len(columns) > 0; {
		run := alike(columns)
		c := run[0]
		columns = columns[len(run):]
		switch {
		case c.Field != listing.Unused || c.Filled == 0:
		case len(run) > 1:
			fmt.Fprintf(s.out, "  %d columns%s, %d to %d, were not used; of each: %s\n", len(run), named(c.Heading), c.Index+1, run[len(run)-1].Index+1, wrap(c.Why, 4))
		default:
			fmt.Fprintf(s.out, "  column %q was not used: %s\n", cmp.Or(c.Heading, strconv.Itoa(c.Index+1)), wrap(c.Why, 4))
		}
	}
}

// alike gives the first of the columns, with those that follow it, when none is used,
// and all have its heading and its reason.
func alike(columns []listing.Column) []listing.Column {
	first, n := columns[0], 1
	if first.Field != listing.Unused {
		return columns[:1]
	}
	for n < len(columns) && columns[n].Field == listing.Unused && columns[n].Heading == first.Heading &&
		columns[n].Why == first.Why && (columns[n].Filled > 0) == (first.Filled > 0) {
		n++
	}
	return columns[:n]
}

// named quotes a heading after the word for what it heads; none is nothing.
func named(heading string) string {
	if heading == "" {
		return ""
	}
	return fmt.Sprintf(" %q", heading)
}

// showOpen names the questions that are open about single rows, with an answer
// as a map file has it.
func (s *session) showOpen(t *app.IntakeTable) {
	if len(t.Questions) == 0 {
		return
	}
	fmt.Fprintf(s.out, "  %s open; the rows that hang on it are put aside until it is answered:\n", count(len(t.Questions), "question is", "questions are"))
	for _, q := range t.Questions {
		fmt.Fprintf(s.out, "  - %s\n", q.Text)
	}
	q := t.Questions[0]
	var answers []string
	for _, choice := range q.Choices {
		answers = append(answers, choice.Value)
	}
	var profile listing.Profile
	if err := profile.Answer(q.ID, answers[0]); err != nil {
		return
	}
	if text, err := json.Marshal(profile); err == nil {
		fmt.Fprintf(s.out, "  Answer on a terminal, or with --map, for example %s; it may be %s.\n", text, strings.Join(answers, ", "))
	}
}

func (s *session) showRemarks(t *app.TableOutcome) {
	for _, remark := range t.Remarks {
		fmt.Fprintf(s.out, "  %s\n", withRow(remark))
	}
	if more := t.Remarked - len(t.Remarks); more > 0 {
		fmt.Fprintf(s.out, "  and %d more remarks\n", more)
	}
	if t.Left == 0 {
		return
	}
	fmt.Fprintf(s.out, "  %s cannot be used:\n", count(t.Left, "row", "rows"))
	for _, trouble := range t.Troubles {
		fmt.Fprintf(s.out, "  - %s\n", withRow(trouble))
	}
	if more := t.Left - len(t.Troubles); more > 0 {
		fmt.Fprintf(s.out, "  - and %d more\n", more)
	}
	if t.Doubted > 0 {
		fmt.Fprintf(s.out, "  Values that look too large are taken as they are with: --as-is\n")
	}
	if t.LeftFile != "" {
		fmt.Fprintf(s.out, "  They are in %s; mend them there, then: sootline take %s\n", t.LeftFile, shellWord(t.LeftFile))
	}
}

func withRow(r app.Remark) string {
	if r.Line == 0 {
		return r.Text
	}
	return fmt.Sprintf("row %d: %s", r.Line, r.Text)
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
