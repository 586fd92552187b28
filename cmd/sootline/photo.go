package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func photoCommand(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "photo", Aliases: []string{"photos"}, Short: "List the photos of a site, add one, or take them out",
		Long: "List the photos that the log of a site names: of points, of defects and of visits. A photo is kept\n" +
			"once, under its SHA-256; entries name it by that.",
		Example: "  sootline photo --site Works\n  sootline photo add 1.2.073 cover.jpg --text \"cover cracked\"\n  sootline photo extract --to photos",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				all, err := a.Photographs(cmd.Context(), site.ID)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfPhotos(site.Name, all))
				}
				zone, err := s.siteZone(cmd, a, site)
				if err != nil {
					return err
				}
				return s.printPhotos(site.Name, all, zone)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
	cmd.AddCommand(photoAdd(s), photoExtract(s))
	return cmd
}

func (s *session) printPhotos(site string, all []app.Photograph, zone *time.Location) error {
	fmt.Fprintf(s.out, "Site %s: %s.\n", site, count(len(all), "photo", "photos"))
	if len(all) == 0 {
		return nil
	}
	var rows [][]string
	for _, p := range all {
		there := ""
		if !p.There {
			there = "not in this book"
		}
		rows = append(rows, []string{p.Hash[:12], p.Ref, p.Entry.When(zone, time.DateOnly), sootline.Say(p.Entry.Body), there})
	}
	fmt.Fprintln(s.out)
	return printTable(s.out, []string{"SHA-256 begins", "point", "on", "says", ""}, rows)
}

func photoAdd(s *session) *cobra.Command {
	var at, text string
	cmd := &cobra.Command{
		Use: "add POINT FILE", Short: "Keep a photo, and write that it was taken at a point",
		Long: "Keep a JPEG or PNG, and write that it was taken at a point; for the site as a whole, say - for the\n" +
			"point. What is larger than a photo may be is made smaller, and turned as its camera held it. Of a\n" +
			"defect, take it on the phone or on the defect's page.",
		Example: "  sootline photo add 1.2.073 cover.jpg --text \"cover cracked\"\n  sootline photo add - panel.jpg --text \"panel as left\"",
		Args:    cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			content, err := os.ReadFile(args[1])
			if err != nil {
				return sootline.Errorf(sootline.NotFound, "name a JPEG or PNG", "read the photo: %w", err)
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				note := app.Note{Point: strings.TrimPrefix(args[0], "-"), Body: sootline.Note{Text: text}}
				if at != "" {
					zone, err := s.siteZone(cmd, a, site)
					if err != nil {
						return err
					}
					moment, err := sootline.ParseMoment(at, zone)
					if err != nil {
						return err
					}
					note.At, note.Day = moment.At, moment.Day
				}
				e, err := a.AddPhoto(cmd.Context(), site.ID, note, content)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Added: photo %s, as entry %s.\n", sootline.PhotoOf(e.Body)[:12], e.ID)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "when it was taken, as 2026-01-15 or 2026-01-15T09:30 (default now)")
	cmd.Flags().StringVar(&text, "text", "", "what is to be seen")
	return cmd
}

func photoExtract(s *session) *cobra.Command {
	var to, point string
	cmd := &cobra.Command{
		Use: "extract", Short: "Write the photos of a site, or of one point, into a folder",
		Long: "Write the photos of a site, or of one point, into a folder, each under its point, its day and the\n" +
			"beginning of its hash. A file that is there already and says something else is not written over.",
		Example: "  sootline photo extract --to photos\n  sootline photo extract --point 1.2.073 --to photos",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.extractPhotos(cmd, a, site, point, to)
			})
		},
	}
	cmd.Flags().StringVar(&to, "to", "", "the folder; it is made where it is not there")
	cmd.Flags().StringVar(&point, "point", "", "only those of this point, for example 1.2.073")
	cobra.CheckErr(cmd.MarkFlagRequired("to"))
	return cmd
}

func (s *session) extractPhotos(cmd *cobra.Command, a *app.App, site store.SiteLine, point, to string) error {
	all, err := a.Photographs(cmd.Context(), site.ID)
	if err != nil {
		return err
	}
	r, err := a.Register(cmd.Context(), site.ID, time.Time{})
	if err != nil {
		return err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	only := ""
	if point != "" {
		p, err := app.PointNamed(r, point)
		if err != nil {
			return err
		}
		only = p.Ref().String()
	}
	if err := os.MkdirAll(to, 0o700); err != nil {
		return sootline.Errorf(sootline.Unavailable, "choose another folder", "%w", err)
	}
	n, missing := 0, 0
	for _, p := range all {
		switch {
		case only != "" && p.Ref != only:
			continue
		case !p.There:
			missing++
			continue
		}
		if err := s.extractPhoto(cmd, a, p, filepath.Join(to, photoFile(p, zone))); err != nil {
			return err
		}
		n++
	}
	fmt.Fprintf(s.out, "%s of site %s in %s.\n", count(n, "photo", "photos"), site.Name, to)
	if missing > 0 {
		fmt.Fprintf(s.out, "Entries name %s that this book does not hold; a phone, or the book that they come from, may.\n", count(missing, "photo", "photos"))
	}
	return nil
}

// photoFile names the file of a photo: point, day and the beginning of its hash.
func photoFile(p app.Photograph, zone *time.Location) string {
	ref := p.Ref
	if ref == "" {
		ref = "site"
	}
	return ref + "-" + p.Entry.When(zone, time.DateOnly) + "-" + p.Hash[:12] + ".jpg"
}

// extractPhoto writes a photo; the same file again is left, another is not written over.
func (s *session) extractPhoto(cmd *cobra.Command, a *app.App, p app.Photograph, path string) error {
	content, err := a.Photo(cmd.Context(), p.Hash)
	if err != nil {
		return err
	}
	there, err := os.ReadFile(path)
	switch {
	case err == nil && store.PhotoHash(there) == p.Hash:
		return nil
	case err == nil:
		return sootline.Errorf(sootline.Conflict, "choose another folder", "%s is there, and is another picture", path)
	case !errors.Is(err, os.ErrNotExist):
		return sootline.Errorf(sootline.Unavailable, "choose another folder", "%w", err)
	}
	if err := os.WriteFile(path, content, 0o600); err != nil {
		return sootline.Errorf(sootline.Unavailable, "its disk must have room, and its folder be writable", "%w", err)
	}
	return nil
}
