package main

import (
	"cmp"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type defectFlags struct {
	viewFlags
	app.DefectFilter
}

func defectCommand(s *session) *cobra.Command {
	var flags defectFlags
	cmd := &cobra.Command{
		Use: "defect", Aliases: []string{"defects"}, Short: "List what is wrong, and follow it until it was mended and tried again",
		Long: "List what is wrong: the open defects, the gravest first, and those that were mended and wait\n" +
			"for their retest. A failed test and a fault are defects by themselves; damage, an obstruction,\n" +
			"a wrong or a missing device is written down with `sootline defect add`.\n\n" +
			"A defect is named by its id, by as much of its beginning as no other has, or by its point, where\n" +
			"one alone is not closed.",
		Example: "  sootline defect --site Works\n  sootline defect --all --point 1.2.073\n  sootline defect show 1.2.073",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				on, err := flags.when(cmd, a, site)
				if err != nil {
					return err
				}
				r, err := a.Register(cmd.Context(), site.ID, on)
				if err != nil {
					return err
				}
				list, err := app.Defects(r, flags.DefectFilter)
				if err != nil {
					return err
				}
				if err := s.printDefects(r, on, list, flags); err != nil {
					return err
				}
				if open, mended := r.CountDefects(); flags.strict && open+mended > 0 {
					return errFindings
				}
				return nil
			})
		},
	}
	flags.add(cmd)
	cmd.Flags().BoolVar(&flags.All, "all", false, "closed ones too")
	cmd.Flags().StringVar(&flags.Point, "point", "", "only those at this point, for example 1.2.073")
	cmd.AddCommand(defectShow(s), defectAdd(s), defectStep(s, sootline.FollowedKind), defectStep(s, sootline.MendedKind), defectStep(s, sootline.RetestedKind))
	return cmd
}

func (s *session) printDefects(r *sootline.Register, on time.Time, list []*sootline.DefectFacts, flags defectFlags) error {
	zone := r.AsOf.Location()
	if flags.asJSON {
		defects, err := shape.OfDefects(r, on, list)
		if err != nil {
			return err
		}
		return printJSON(s.out, defects)
	}
	var rows [][]string
	for _, d := range list {
		if flags.asCSV {
			rows = append(rows, shape.DefectRow(d, zone))
		} else {
			rows = append(rows, []string{d.Name, string(d.State), string(d.Grade), d.Where(), sootline.Joined(string(d.Nature), d.Cause, d.Text), d.Since.Format(time.DateOnly)})
		}
	}
	if flags.asCSV {
		return printCSV(s.out, shape.DefectsHead(), rows)
	}
	open, mended := r.CountDefects()
	fmt.Fprintf(s.out, "Site %s: %s.\n", r.Site.Name, defectsWaiting(open, mended))
	if len(rows) > 0 {
		fmt.Fprintln(s.out)
		if err := printTable(s.out, []string{"id", "state", "grade", "where", "what", "since"}, rows); err != nil {
			return err
		}
	}
	for _, e := range r.StraySteps() {
		fmt.Fprintf(s.out, "\nEntry %s, %s, names no defect that the site had then, and changes nothing.\n", e.ID, sootline.Say(e.Body))
	}
	return nil
}

// defectsWaiting tells how many defects are not closed.
func defectsWaiting(open, mended int) string {
	if open+mended == 0 {
		return "no open defect"
	}
	says := count(open, "open defect", "open defects")
	if mended > 0 {
		says += ", " + count(mended, "mended that waits for its retest", "mended that wait for their retest")
	}
	return says
}

func defectShow(s *session) *cobra.Command {
	var view viewFlags
	cmd := &cobra.Command{
		Use: "show DEFECT", Short: "Show one defect with its story",
		Example: "  sootline defect show 019bd4c1",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				d, err := app.DefectNamed(r, args[0])
				if err != nil {
					return err
				}
				if view.asJSON {
					story, err := shape.OfDefectStory(d)
					if err != nil {
						return err
					}
					return printJSON(s.out, story)
				}
				return s.printDefect(r, d)
			})
		},
	}
	cmd.Flags().BoolVar(&view.asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
	return cmd
}

func (s *session) printDefect(r *sootline.Register, d *sootline.DefectFacts) error {
	zone := r.AsOf.Location()
	s.say(2, "%s at %s: %s, %s.", d.Name, cmp.Or(d.Where(), "the site"), d.What(), d.State)
	for _, line := range [...][2]string{
		{"since", d.Since.Format(time.DateOnly)}, {"needs", d.Needs}, {"told", d.Told}, {"agreed", d.Agreed}, {"by", d.ByDay}, {"photos", strings.Join(d.Photos, " ")},
	} {
		if line[1] != "" {
			fmt.Fprintf(s.out, "  %-6s  %s\n", line[0], s.wrap(line[1], 10))
		}
	}
	s.heading("its story")
	for _, e := range d.Story {
		by := ""
		if e.By != "" {
			by = ", by " + e.By
		}
		fmt.Fprintf(s.out, "  %-16s  %s\n", e.When(zone, "2006-01-02 15:04"), s.wrap(sootline.Say(e.Body)+by, 20))
	}
	return nil
}

func defectAdd(s *session) *cobra.Command {
	var flags sayFlags
	cmd := &cobra.Command{
		Use: "add", Short: "Write a defect down: damage, an obstruction, a wrong or missing device",
		Example: "  sootline defect add --point 1.2.073 --nature damage --grade serious --text \"base cracked\"\n" +
			"  sootline defect add --place \"store, row 3\" --nature obstruction --grade critical --text \"racking in the beam\"",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				note, err := s.defectNote(cmd, a, site, &flags, sootline.DefectKind, sootline.Form{})
				if err != nil {
					return err
				}
				e, err := a.AddEntry(cmd.Context(), site.ID, note)
				if err != nil {
					return err
				}
				return s.tellDefect(cmd, a, site, e.ID)
			})
		},
	}
	addDefectFlags(cmd, &flags, sootline.DefectKind)
	cmd.Flags().StringVar(&flags.point, "point", "", "the point, for example 1.2.073")
	return cmd
}

// addDefectFlags adds the flags of a defect or a step. A photo is given as a file.
func addDefectFlags(cmd *cobra.Command, flags *sayFlags, kind sootline.Kind) {
	flags.addWhen(cmd)
	flags.addFields(cmd.Flags(), kind)
	if photo := cmd.Flags().Lookup("photo"); photo != nil {
		photo.Usage = "a picture, as a JPEG file of at most 1 MB"
	}
}

// defectNote makes the entry that the flags ask for; a photo is kept first.
func (s *session) defectNote(cmd *cobra.Command, a *app.App, site store.SiteLine, flags *sayFlags, kind sootline.Kind, form sootline.Form) (n app.Note, err error) {
	if photo := flags.said["photo"]; photo != nil && len(photo.texts) > 0 {
		content, err := os.ReadFile(photo.texts[len(photo.texts)-1])
		if err != nil {
			return n, sootline.Errorf(sootline.NotFound, "name a JPEG file that is there", "the photo could not be read: %w", err)
		}
		hash, err := a.KeepPhoto(cmd.Context(), site.ID, content)
		if err != nil {
			return n, err
		}
		photo.texts = []string{hash}
	}
	if n.Body, err = flags.say(kind, form); err != nil {
		return n, err
	}
	zone, err := s.siteZone(cmd, a, site)
	if err != nil {
		return n, err
	}
	when, err := flags.when(zone)
	n.At, n.Day, n.Point, n.Sure = when.At, when.Day, flags.point, flags.sure
	return n, err
}

func (s *session) stepDefect(cmd *cobra.Command, a *app.App, site store.SiteLine, name string, flags *sayFlags, kind sootline.Kind) error {
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return err
	}
	d, err := app.DefectNamed(r, name)
	if err != nil {
		return err
	}
	note, err := s.defectNote(cmd, a, site, flags, kind, sootline.Form{"defect": d.ID.String()})
	if err != nil {
		return err
	}
	if _, err := a.StepDefect(cmd.Context(), site.ID, d.ID.String(), note); err != nil {
		return err
	}
	return s.tellDefect(cmd, a, site, d.ID)
}

// tellDefect says in a line how a defect stands.
func (s *session) tellDefect(cmd *cobra.Command, a *app.App, site store.SiteLine, id sootline.ID) error {
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return err
	}
	d, err := r.DefectCalled(id.String())
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "Defect %s at %s: %s; %s.\n", d.Name, cmp.Or(d.Where(), "the site"), d.What(), d.State)
	return err
}

// defectStep is the command of one kind of step.
func defectStep(s *session, kind sootline.Kind) *cobra.Command {
	words := map[sootline.Kind][3]string{
		sootline.FollowedKind: {"follow", "Say who was told of a defect, what was agreed, what it needs", "--told \"site office, by phone\" --agreed \"racking moved\" --by-day 2026-02-01"},
		sootline.MendedKind:   {"mend", "Say that a defect was mended; it waits for its retest", "--text \"new base\""},
		sootline.RetestedKind: {"retest", "Say that a defect was tried again: it is closed, or with --failed open once more", "--failed --text \"still loose\""},
	}[kind]
	var flags sayFlags
	cmd := &cobra.Command{
		Use: words[0] + " DEFECT", Short: words[1],
		Example: "  sootline defect " + words[0] + " 1.2.073 " + words[2],
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.stepDefect(cmd, a, site, args[0], &flags, kind)
			})
		},
	}
	addDefectFlags(cmd, &flags, kind)
	cobra.CheckErr(cmd.Flags().MarkHidden("defect")) // it is the argument
	return cmd
}
