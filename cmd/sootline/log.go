package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

type logFlags struct {
	point, from, to, text string
	kinds                 []string
	last                  int
	take                  string
	folded, asJSON        bool
}

func logCommand(s *session) *cobra.Command {
	var flags logFlags
	cmd := &cobra.Command{
		Use:   "log",
		Short: "Read the log book, add to it, correct it, check it, hand it on",
		Long: "Read the log book. Entries are never changed or removed: a correction or a withdrawal is\n" +
			"an entry that names the one it is about.",
		Example: "  sootline log --site Works --point 1.2.073 --last 20\n" +
			"  sootline log add cleaned --point 1.2.073 --at 2026-01-15",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.readLog(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.point, "point", "", "only this point, for example 1.2.073")
	cmd.Flags().StringSliceVar(&flags.kinds, "kind", nil, "only these kinds, for example cleaned,replaced")
	cmd.Flags().StringVar(&flags.from, "from", "", "only what happened on this day or later")
	cmd.Flags().StringVar(&flags.to, "to", "", "only what happened on this day or earlier")
	cmd.Flags().StringVar(&flags.text, "text", "", "only entries that hold this text")
	cmd.Flags().IntVar(&flags.last, "last", 0, "only the latest so many")
	cmd.Flags().StringVar(&flags.take, "take", "", "only what this take wrote, by its name, for example 2026-11-30-1")
	cmd.Flags().BoolVar(&flags.folded, "folded", false, "a take as one line, without what it wrote")
	cmd.Flags().BoolVar(&flags.asJSON, "json", false, "print the entries as JSON Lines, as `log export` does")
	cmd.AddCommand(logAdd(s), logCorrect(s), logWithdraw(s), logSettle(s), logVerify(s), logExport(s), logImport(s))
	return cmd
}

func (s *session) readLog(ctx context.Context, a *app.App, site store.SiteLine, flags logFlags) error {
	filter := app.LogFilter{Point: flags.point, Text: flags.text, Last: flags.last, Take: flags.take, Folded: flags.folded}
	for _, kind := range flags.kinds {
		filter.Kinds = append(filter.Kinds, sootline.Kind(kind))
	}
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	if flags.from != "" {
		if filter.From, err = sootline.ParseDayBegins(flags.from, zone); err != nil {
			return err
		}
	}
	if flags.to != "" {
		end, err := day(flags.to, zone)
		if err != nil {
			return err
		}
		filter.To = end.Add(time.Millisecond)
	}
	_, lines, err := a.ReadLog(ctx, site.ID, filter)
	if err != nil {
		return err
	}
	return s.printLog(lines, zone, flags.asJSON)
}

func (s *session) printLog(lines []app.LogLine, zone *time.Location, asJSON bool) error {
	if asJSON {
		for _, line := range lines {
			text, err := sootline.AppendLine(nil, &line.Entry)
			if err != nil {
				return err
			}
			fmt.Fprintf(exact(s.out), "%s\n", text)
		}
		return nil
	}
	if len(lines) == 0 {
		_, err := fmt.Fprintln(s.out, "No entry. Add one by hand:\n\n  sootline log add note --text \"soak test begun\"")
		return err
	}
	for _, line := range lines {
		e := line.Entry
		at := fmt.Sprintf("%-16s", e.When(zone, "2006-01-02 15:04"))
		if e.At.Equal(sootline.LongAgo) {
			at = "since always    "
		}
		state := ""
		if line.Amended != nil {
			state = fmt.Sprintf("  [%s on %s]", line.Amended.Body.Kind(), line.Amended.Noted.In(zone).Format(time.DateOnly))
		}
		fmt.Fprintf(s.out, "%s  %-9s  %s%s\n", at, line.Ref, s.wrap(sootline.Say(e.Body), 29), state)
		fmt.Fprintf(s.out, "%16s  %s  by %s\n", "", e.ID, e.By)
		if line.Amended != nil && line.Amended.Body.Kind() == sootline.CorrectedKind {
			holds := line.Holds()
			fmt.Fprintf(s.out, "%16s  holds as: %s  %s\n", "", holds.When(zone, "2006-01-02 15:04"), s.wrap(sootline.Say(holds.Body), 29))
		}
	}
	return nil
}

func logExport(s *session) *cobra.Command {
	var readable bool
	cmd := &cobra.Command{
		Use: "export [FILE]", Short: "Write the whole log as JSON Lines, to a file or to standard output (-)",
		Long: "Write the whole log as JSON Lines, one entry a line (docs/formats/log.md). Another book\ntakes it with `sootline log import`; what both hold is there once.\n\n" +
			"A file whose name ends in .zip becomes an archive: the lines, and the photos that they name.\n\n" +
			"Of a log that cannot be read whole, --readable writes what is on pages that can be, and says which\n" +
			"lines are lost; a restored backup takes that in as well.",
		Example: "  sootline log export works.jsonl --site Works\n  sootline log export works.zip --site Works\n  sootline log export --readable saved.jsonl --site Works",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if readable {
					return s.exportReadable(cmd.Context(), a, site, args)
				}
				if !toStandardOutput(args) && strings.EqualFold(filepath.Ext(args[0]), ".zip") {
					return s.exportArchive(cmd.Context(), a, site, args[0])
				}
				if toStandardOutput(args) {
					_, err := a.Export(cmd.Context(), site.ID, exact(s.out))
					return err
				}
				n, err := exportTo(args[0], func(w io.Writer) (int, error) { return a.Export(cmd.Context(), site.ID, w) })
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%d entries of site %s are in %s.\n", n, site.Name, args[0])
				return err
			})
		},
	}
	cmd.Flags().BoolVar(&readable, "readable", false, "of a damaged log, what can be read")
	return cmd
}

// exportArchive writes the log with its photos, and names those that the book does not hold.
func (s *session) exportArchive(ctx context.Context, a *app.App, site store.SiteLine, path string) error {
	var out app.Archived
	_, err := exportTo(path, func(w io.Writer) (_ int, err error) {
		out, err = a.ExportArchive(ctx, site.ID, w)
		return out.Lines, err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%d entries of site %s, and %s, are in %s.\n", out.Lines, site.Name, count(out.Photos, "photo", "photos"), path)
	if len(out.Missing) > 0 {
		fmt.Fprintf(s.out, "Entries name %s that this book does not hold: %s.\n", count(len(out.Missing), "photo", "photos"), joined(out.Missing))
	}
	return nil
}

// toStandardOutput reports whether an export goes there: where no file is named, or - is, as `log import` has it.
func toStandardOutput(args []string) bool { return len(args) == 0 || args[0] == "-" }

// exportReadable saves what can be read of a log, and says what cannot. The file goes
// before: what is lost ends the command as a damage does.
func (s *session) exportReadable(ctx context.Context, a *app.App, site store.SiteLine, args []string) error {
	var saved app.Saved
	save := func(w io.Writer) (n int, err error) {
		saved, err = a.ExportReadable(ctx, site.ID, w)
		return saved.Lines, err
	}
	if toStandardOutput(args) {
		if _, err := save(exact(s.out)); err != nil {
			return err
		}
	} else {
		if _, err := exportTo(args[0], save); err != nil {
			return err
		}
		fmt.Fprintf(s.out, "%s of site %s that can be read are in %s.\n", count(saved.Lines, "entry", "entries"), site.Name, args[0])
	}
	if len(saved.Lost) == 0 {
		return nil
	}
	var lost []string
	for _, run := range saved.Lost {
		lost = append(lost, fmt.Sprintf("%d to %d of station %s", run.First, run.Last, run.Station))
	}
	return sootline.Errorf(sootline.Damaged, "put a backup made before in the book's place, and import the file into that", "lines that cannot be read, and are not in it: %s", joined(lost)).Do(sootline.RestoreBackup)
}

// exportTo writes an export beside its name and moves it there when it is whole.
func exportTo(path string, export func(io.Writer) (int, error)) (int, error) {
	part := path + ".part"
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return 0, sootline.Errorf(sootline.Unavailable, "", "write the export: %w", err)
	}
	n, err := export(f)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		return 0, errors.Join(sootline.Errorf(sootline.Unavailable, "", "write the export: %w", err), os.Remove(part))
	}
	return n, nil
}

func logImport(s *session) *cobra.Command {
	var sure bool
	cmd := &cobra.Command{
		Use: "import FILE", Short: "Bring in a log that another book exported (- for standard input)",
		Long:    "Bring in the log of one site as another book exported it, as lines or as an archive with photos. What\nboth books hold is there once afterwards; a file that was altered, or that contradicts the book, is\nrefused whole. An archive is given as a file.",
		Example: "  sootline log import works.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			var from io.Reader = s.in
			if args[0] != "-" {
				f, err := os.Open(args[0])
				if err != nil {
					return sootline.Errorf(sootline.NotFound, "", "read the export: %w", err)
				}
				defer f.Close()
				from = f
			}
			return s.open(cmd.Context(), true, func(a *app.App) error {
				bring := a.Import
				if sure {
					bring = a.ImportOwn
				}
				in, err := bring(cmd.Context(), from)
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "Site %s: %d of %d entries were new.\n", in.Site, in.Added, in.Lines)
				if in.Photos > 0 {
					fmt.Fprintf(s.out, "%s came with them.\n", count(in.Photos, "photo", "photos"))
				}
				for _, run := range in.Unsigned {
					fmt.Fprintf(s.out, "Unsigned: lines %d to %d of station %s; the file carries no signed head that covers them.\n", run.First, run.Last, run.Station)
				}
				for _, station := range in.Headless {
					fmt.Fprintf(s.out, "The file carries no signed head of station %s, which is known to sign: its end may have been cut off.\n", station)
				}
				if in.Gaps > 0 {
					fmt.Fprintf(s.out, "%d stretches begin after lines that are not here yet; `sootline log verify` names them.\n", in.Gaps)
				}
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&sure, "sure", false, "lines of this machine's own station that nothing signs are its own, of a book that was lost")
	return cmd
}
