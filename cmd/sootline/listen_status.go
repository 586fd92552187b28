package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/live"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func listenStatus(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "status",
		Short:   "What is listened to, when each was heard last, and what was not understood",
		Example: "  sootline listen status",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.listenStatus(cmd.Context(), a, site, asJSON)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

// sources lists the sources that were taught, or of which something was heard.
func (s *session) sources(r *sootline.Register, site sootline.ID) ([]string, error) {
	var names []string
	for name := range r.Sources {
		names = append(names, name)
	}
	book, err := s.book()
	if err != nil {
		return nil, err
	}
	folders, err := os.ReadDir(filepath.Join(book+".heard", site.String()))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, f := range folders {
		if f.IsDir() && !slices.Contains(names, f.Name()) {
			names = append(names, f.Name())
		}
	}
	slices.Sort(names)
	return names, nil
}

func (s *session) listenStatus(ctx context.Context, a *app.App, site store.SiteLine, asJSON bool) error {
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return err
	}
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	names, err := s.sources(r, site.ID)
	if err != nil {
		return err
	}
	all := []shape.Source{}
	for _, name := range names {
		source, err := s.sourceStatus(ctx, a, site, name, zone)
		if err != nil {
			return err
		}
		all = append(all, source)
	}
	if asJSON {
		return printJSON(s.out, all)
	}
	if len(all) == 0 {
		fmt.Fprintln(s.out, "Nothing is listened to at this site.")
	}
	for i := range all {
		s.printSource(&all[i])
	}
	return nil
}

// sourceStatus gathers what there is to tell of one source.
func (s *session) sourceStatus(ctx context.Context, a *app.App, site store.SiteLine, name string, zone *time.Location) (shape.Source, error) {
	source := shape.Source{Name: name, NotUnderstood: []shape.NotUnderstood{}}
	heard, err := s.heardOf(site, name, -readBack)
	if err != nil {
		return source, err
	}
	source.Lines = len(live.HeardLines(heard))
	if n := len(heard); n > 0 {
		at := heard[n-1].At.In(zone)
		source.Last = &at
	}
	lines, err := a.HeardAs(ctx, site, name, heard)
	if sootline.ErrorCode(err) == sootline.NotFound {
		return source, nil
	}
	source.Taught = err == nil
	source.Read, source.NotUnderstood = reasonsOf(lines)
	return source, err
}

// reasonsOf counts the records that are read, and by the reason the lines that are not.
func reasonsOf(lines []live.Line) (read int, all []shape.NotUnderstood) {
	all = []shape.NotUnderstood{}
	for _, l := range lines {
		if l.Read != nil {
			read++
		}
		if l.Read != nil || l.Shown == "" {
			continue
		}
		i := slices.IndexFunc(all, func(n shape.NotUnderstood) bool { return n.Why == string(l.Why) })
		if i < 0 {
			i, all = len(all), append(all, shape.NotUnderstood{Why: string(l.Why)})
		}
		all[i].Lines++
		all[i].Last = l.Shown
	}
	slices.SortFunc(all, func(a, b shape.NotUnderstood) int { return cmp.Or(b.Lines-a.Lines, cmp.Compare(a.Why, b.Why)) })
	return read, all
}

func (s *session) printSource(source *shape.Source) {
	last := "nothing was heard yet"
	if source.Last != nil {
		last = "last heard " + source.Last.Format("2006-01-02 15:04:05")
	}
	if !source.Taught {
		s.say(2, "%s: %s; %s heard, not taught yet", source.Name, last, count(source.Lines, "line", "lines"))
		return
	}
	s.say(2, "%s: %s; of what was heard last %s read", source.Name, last, count(source.Read, "record is", "records are"))
	for _, n := range source.NotUnderstood {
		fmt.Fprintf(s.out, "  not understood, %s: %s, the last is: %s\n", n.Why, count(n.Lines, "line", "lines"), oneLine(n.Last))
	}
}
