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
	cmd.Flags().StringSliceVar(&flags.allow, "allow", nil, "what of the known may be undone: replace, move, rename")
	cmd.Flags().StringVar(&flags.mapFile, "map", "", "what columns mean and how dates are written; the file is made when it is not there")
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
	s.showOutcome(out, "added", !flags.yes)
	if err := saveProfiles(flags.mapFile, in); err != nil {
		return err
	}
	if out.Ending() == app.EndRefused {
		return sootline.Errorf(sootline.Conflict, "mend what is named above, and take it again", "nothing was taken in: all of it was refused")
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
	s.showOutcome(out, "would add", true)
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
		if held := out.Held(e); held > 0 && s.confirm(fmt.Sprintf("%s %s, as shown above?", capital(string(e)), count(held, "point", "points"))) == nil {
			opts.Allow = append(opts.Allow, e)
		}
	}
	return false, nil
}

func capital(word string) string { return strings.ToUpper(word[:1]) + word[1:] }

// ended gives the end of an intake to the caller: a question left open, or nothing that could be used.
func ended(out *app.Outcome) error {
	if out.Ending() == app.EndOpen {
		return errFindings
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
			fmt.Fprintf(s.out, "\n%s: %s\n", tableName(table), q.Text)
			for i, choice := range q.Choices {
				fmt.Fprintf(s.out, "  %c  %s\n", 'a'+i, choice.Text)
			}
			answer, err := s.ask("> ")
			if err != nil {
				return err
			}
			if answer, err = chosen(q, answer); err == nil {
				err = table.Answer(q.ID, answer)
			}
			if err != nil {
				tell(s.err, err)
			}
		}
	}
	return nil
}

// chosen turns the letter of a choice into its answer. Where there are choices nothing else is an answer: a 2 could be
// the second of them, or a column.
func chosen(q listing.Question, answer string) (string, error) {
	if len(q.Choices) == 0 {
		return answer, nil
	}
	for i, choice := range q.Choices {
		if answer == string(rune('a'+i)) {
			return choice.Value, nil
		}
	}
	return "", sootline.Errorf(sootline.Invalid, fmt.Sprintf("write one of the letters a to %c", 'a'+len(q.Choices)-1), "%q is none of the answers", answer)
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
	name := t.Path
	if t.Table.Name != "" {
		name += ", sheet " + t.Table.Name
	}
	if part := t.Where(); part != "" {
		name += ", " + part
	}
	return name
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
	for _, note := range out.Notes {
		if note.Hidden {
			note.Text += "; --hidden takes it"
		}
		fmt.Fprintln(s.out, note.Text)
	}
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
		if says := t.Effects(); seen && says != "" {
			fmt.Fprintf(s.out, "  it %s\n", says)
		}
		if !seen {
			s.showPassedOver(t.Table)
		}
		s.showUnused(t.Table)
		s.showRemarks(t)
		s.showOpen(t.Table)
	}
	for _, table := range out.Open {
		q, _ := table.Blocking()
		fmt.Fprintf(s.out, "%s: left out until this is answered: %s\n  %s\n", tableName(table), q.Text, capital(questionHint(q)))
		s.showUnused(table)
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
	told := 0
	for _, cause := range t.Causes {
		told += cause.All
		alike := ""
		if cause.Varies {
			alike = " (the first; the others are alike)"
		}
		fmt.Fprintf(s.out, "  - %s: %s%s\n", rowsOf(cause, t.Table.Table), cause.Text, alike)
	}
	if more := t.Left - told; more > 0 {
		fmt.Fprintf(s.out, "  - and %d more\n", more)
	}
	s.showHeld(t)
	if t.Doubted > 0 {
		fmt.Fprintf(s.out, "  Values that look too large are taken as they are with: --as-is\n")
	}
	if t.LeftFile != "" {
		fmt.Fprintf(s.out, "  They are in %s; mend them there, then: sootline take %s\n", t.LeftFile, shellWord(t.LeftFile))
	}
}

// rowsOf names the rows of one cause: all of few, the first of many.
func rowsOf(c *app.Cause, t *listing.Table) string {
	const few = 5
	if c.All == 1 && c.Rows[0] == 0 {
		return "the table"
	}
	var places []string
	for _, row := range c.Rows[:min(few, len(c.Rows))] {
		kind, number, _ := strings.Cut(t.Place(row), " ")
		if len(places) > 0 { // rows 2, 3 and 4
			places = append(places, number)
			continue
		}
		if c.All > 1 {
			kind += "s"
		}
		places = append(places, kind+" "+number)
	}
	more := c.All - len(places)
	switch {
	case more > 0:
		return fmt.Sprintf("%s and %d more", strings.Join(places, ", "), more)
	case len(places) == 1:
		return places[0]
	}
	last := len(places) - 1
	return strings.Join(places[:last], ", ") + " and " + places[last]
}

// showHeld says how what is known may be undone, where rows are held for want of that.
func (s *session) showHeld(t *app.TableOutcome) {
	var held []string
	for _, e := range app.Effects() {
		if u := t.Undoes[e]; u != nil && u.Held > 0 {
			held = append(held, string(e))
		}
	}
	if len(held) > 0 {
		fmt.Fprintf(s.out, "  What is known is not undone unasked; to have it so: --allow %s\n", strings.Join(held, ","))
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
