package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/papers"
	"sootline/internal/store"
)

type paperFlags struct {
	out, format, size, firm, on, from, to string
	point, loop, bench                    string
	fields, loads                         []string
	panel                                 string
	rule                                  int
	issue                                 bool
	labels                                papers.LabelWish
}

func paperCommand(s *session) *cobra.Command {
	var flags paperFlags
	long := "Make a paper from the log book, as PDF, XLSX, CSV or HTML. The papers:\n\n"
	kinds := []cobra.Completion{papers.LabelsKind, papers.MessageKind}
	for _, kind := range papers.Kinds() {
		kinds = append(kinds, cobra.CompletionWithDesc(kind.Name, kind.Says))
		long += fmt.Sprintf("  %-13s %s\n", kind.Name, kind.Says)
	}
	long += fmt.Sprintf("  %-13s %s\n", papers.LabelsKind, "labels for bases and devices, with the square code of the point (PDF)")
	long += fmt.Sprintf("  %-13s %s\n", papers.MessageKind, "page one of the visit report as plain text, to send on; printed, unless --out names a file")
	cmd := &cobra.Command{
		Use: "paper KIND", Short: "Make schedules, labels, reports, certificates and the handover pack",
		Long: long + "\nThe same log book and date give the same bytes. A paper is a draft until it is issued with --issue.\n" +
			"Each page carries a code; `sootline log verify --paper CODE --file FILE` says whether a file is the one\n" +
			"issued, and whether its record has changed since. HTML reads well aloud.",
		Example: "  sootline paper schedule --site Works\n  sootline paper visit --from 2026-01-12 --out visit.pdf\n" +
			"  sootline paper remedial --site Works\n  sootline paper message --site Works\n" +
			"  sootline paper labels --sheet 63x34 --skip 5 --loop 1.2\n  sootline paper servicing --field \"battery results=good\"\n  sootline paper pack --size Letter --on 2026-01-15",
		Args: cobra.ExactArgs(1), ValidArgs: kinds,
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("code") {
				return sootline.Errorf(sootline.Invalid, "state it once, for all papers", "the code that a site follows is a fact of the site and lives in its log").Do(sootline.StateFacts)
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.paper(cmd, a, site, args[0], flags)
			})
		},
	}
	f := cmd.Flags()
	f.StringVarP(&flags.out, "out", "o", "", "the file to write; its ending says the format (default KIND.pdf; - for standard output)")
	f.StringVar(&flags.format, "format", "", "pdf, xlsx, csv or html, where the file's ending does not say")
	f.StringVar(&flags.size, "size", "", "size of the paper, A4 or Letter (default A4)")
	f.StringVar(&flags.firm, "firm", "", "file with the firm's name, address and logo (default firm.json in your data folder)")
	f.StringVar(&flags.on, "on", "", "as of the end of this day (default now)")
	f.StringVar(&flags.from, "from", "", "of a visit or the log: from this day")
	f.StringVar(&flags.to, "to", "", "and to the end of this one")
	f.StringVar(&flags.point, "point", "", "of a point's history, or its label: the point")
	f.StringVar(&flags.loop, "loop", "", "only this loop")
	f.StringVar(&flags.bench, "run", "", "of the bench, or of labels in the order of a run: the run, by its name or id (of the bench, default the last)")
	f.StringArrayVar(&flags.fields, "field", nil, "what a certificate says where the record says nothing, as NAME=VALUE; it stands marked as added by hand")
	f.StringVar(&flags.panel, "panel", "", "of the battery: only that of this panel")
	f.StringArrayVar(&flags.loads, "load", nil, "a line of the battery's load list, as NAME=COUNTxREST/ALARM in mA; repeat for more")
	f.String("code", "", "")
	cobra.CheckErr(f.MarkHidden("code"))
	f.BoolVar(&flags.issue, "issue", false, "issue it: note in the log that it was handed out, with the hash of the file; else it is a draft")
	f.IntVar(&flags.rule, "rule", 0, "number of the battery's rule set (sootline standby --rules; left out: the load list's, else the first)")
	f.StringVar(&flags.labels.Sheet, "sheet", "", "of labels: the sheet ("+labelSheetNames()+")")
	f.IntVar(&flags.labels.Skip, "skip", 0, "of labels: so many of the first sheet are used already")
	f.BoolVar(&flags.labels.Outline, "outline", false, "of labels: draw their edges, for a trial on plain paper")
	cmd.AddCommand(paperIssued(s))
	return cmd
}

func labelSheetNames() string {
	sheets, err := paper.LabelSheets()
	if err != nil {
		return err.Error()
	}
	var names []string
	for _, sheet := range sheets {
		names = append(names, sheet.Name)
	}
	return strings.Join(names, ", ")
}

func (s *session) paper(cmd *cobra.Command, a *app.App, site store.SiteLine, kind string, flags paperFlags) error {
	wish, err := s.paperWish(cmd, a, site, kind, flags)
	if err != nil {
		return err
	}
	if kind == papers.MessageKind {
		return s.message(cmd, a, site, wish, flags)
	}
	size, err := paper.FindSize(flags.size)
	if err != nil {
		return err
	}
	format, path, err := paperFile(kind, flags)
	if err != nil {
		return err
	}
	made, said, err := s.makePaper(cmd, a, site, wish, flags, format, size)
	if err != nil {
		return err
	}
	s.progress.clear()
	if path == "-" {
		_, err := exact(s.out).Write(made)
		return err
	}
	if err := os.WriteFile(path, made, 0o600); err != nil {
		return sootline.Errorf(sootline.Unavailable, "its disk must have room, and its folder be writable", "%w", err)
	}
	_, err = fmt.Fprintf(s.out, "Wrote %s: %s.\n", path, said)
	return err
}

// message prints page one of the visit report as plain text, or writes it to a file.
func (s *session) message(cmd *cobra.Command, a *app.App, site store.SiteLine, wish papers.Wish, flags paperFlags) error {
	if flags.issue || flags.format != "" {
		return usageError{errors.New("a message is plain text, and not issued; `sootline paper visit --issue` issues the report")}
	}
	text, err := papers.Message(cmd.Context(), a, site.ID, wish)
	if err != nil {
		return err
	}
	s.progress.clear()
	if flags.out == "" || flags.out == "-" {
		_, err := exact(s.out).Write([]byte(text))
		return err
	}
	if err := os.WriteFile(flags.out, []byte(text), 0o600); err != nil {
		return sootline.Errorf(sootline.Unavailable, "its disk must have room, and its folder be writable", "%w", err)
	}
	_, err = fmt.Fprintf(s.out, "Wrote %s: page one of the visit report as text, a draft.\n", flags.out)
	return err
}

// makePaper makes the file of a paper, and says what it is.
func (s *session) makePaper(cmd *cobra.Command, a *app.App, site store.SiteLine, wish papers.Wish, flags paperFlags, format paper.Format, size paper.Size) ([]byte, string, error) {
	var made bytes.Buffer
	switch {
	case wish.Kind == papers.LabelsKind && (format.Name != "pdf" || flags.issue):
		return nil, "", usageError{errors.New("labels are written as PDF only, and not issued; `sootline paper schedule --format csv` gives the points")}
	case wish.Kind == papers.LabelsKind:
		flags.labels.Paper, flags.labels.Size = wish, flags.size
		n, err := papers.Labels(cmd.Context(), a, site.ID, flags.labels, &made)
		return made.Bytes(), labelsMade(n), err
	case flags.issue:
		issued, err := papers.Issue(cmd.Context(), a, site.ID, wish, format, size)
		if err != nil {
			return nil, "", err
		}
		return issued.File, issued.Title + ", issued, code " + issued.Code, nil
	}
	d, err := papers.Make(cmd.Context(), a, site.ID, wish)
	if err != nil {
		return nil, "", err
	}
	if format.Name == "csv" && !d.Tabular() {
		return nil, "", papers.NoTable()
	}
	err = format.Write(&made, d, size)
	return made.Bytes(), d.Title + ", a draft, code " + cmp.Or(d.Code, "none"), err
}

// paperFile finds the format and the file to write.
func paperFile(kind string, flags paperFlags) (format paper.Format, path string, err error) {
	name := strings.ToLower(cmp.Or(flags.format, strings.TrimPrefix(filepath.Ext(flags.out), "."), "pdf"))
	if name == "htm" {
		name = "html"
	}
	format, ok := paper.FindFormat(name)
	if !ok {
		return format, "", usageError{fmt.Errorf("%q is not a format of papers: say pdf, xlsx, csv or html", name)}
	}
	return format, cmp.Or(flags.out, kind+"."+name), nil
}

func (s *session) paperWish(cmd *cobra.Command, a *app.App, site store.SiteLine, kind string, flags paperFlags) (papers.Wish, error) {
	wish := papers.Wish{Kind: kind, Point: flags.point, Loop: flags.loop, Bench: flags.bench, Fields: map[string]string{}}
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return wish, err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return wish, err
	}
	if wish.On, err = day(flags.on, zone); err != nil {
		return wish, err
	}
	if flags.to != "" {
		if wish.To, err = day(flags.to, zone); err != nil {
			return wish, err
		}
	}
	if flags.from != "" {
		if wish.From, err = sootline.ParseDayBegins(flags.from, zone); err != nil {
			return wish, err
		}
	}
	for _, text := range flags.fields {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return wish, usageError{fmt.Errorf("--field %q is not NAME=VALUE", text)}
		}
		wish.Fields[name] = value
	}
	wish.Rule, wish.Panel = flags.rule, flags.panel
	for _, text := range flags.loads {
		load, err := parseLoad(text)
		if err != nil {
			return wish, err
		}
		wish.Battery.Drains = append(wish.Battery.Drains, load)
	}
	wish.Firm, err = readFirm(flags.firm)
	return wish, err
}

// firmFile is where the firm's file lies unless another is named; empty where
// there is no data folder.
func firmFile() string {
	folder, err := dataFolder()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "firm.json")
}

// readFirm reads the firm's file; where none is named, one in the data folder may
// be missing.
func readFirm(path string) (paper.Firm, error) {
	named := path != ""
	if !named {
		if path = firmFile(); path == "" {
			return paper.Firm{}, nil
		}
	}
	raw, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) && !named {
		return paper.Firm{}, nil
	}
	if err != nil {
		return paper.Firm{}, sootline.Errorf(sootline.NotFound, `it holds {"name": "...", "address": ["..."], "phone": "...", "logo": "logo.png"}`, "%w", err)
	}
	var in struct {
		Name, Phone, Logo string
		Address           []string
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&in); err != nil {
		return paper.Firm{}, sootline.Errorf(sootline.Invalid, "its keys are name, address (a list of lines), phone and logo", "%s: %w", path, err)
	}
	firm := paper.Firm{Name: in.Name, Address: in.Address, Phone: in.Phone}
	if in.Logo == "" {
		return firm, nil
	}
	if !filepath.IsAbs(in.Logo) {
		in.Logo = filepath.Join(filepath.Dir(path), in.Logo)
	}
	if firm.Logo, err = os.ReadFile(in.Logo); err != nil {
		return firm, sootline.Errorf(sootline.NotFound, "the logo lies beside "+path, "%w", err)
	}
	return firm, paper.CheckLogo(firm.Logo)
}

// labelsMade says how many labels there are, and what gets none.
func labelsMade(n papers.Labelled) string {
	said := count(n.Printed, "label", "labels")
	if n.Without > 0 {
		said += fmt.Sprintf("; %s of the run without a device yet: no label", count(n.Without, "place", "places"))
	}
	return said
}
