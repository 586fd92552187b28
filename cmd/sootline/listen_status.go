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
	"sootline/internal/store"
)

func listenStatus(s *session) *cobra.Command {
	return &cobra.Command{
		Use:     "status",
		Short:   "What is listened to, when each was heard last, and what was not understood",
		Example: "  sootline listen status",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.listenStatus(cmd.Context(), a, site)
			})
		},
	}
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

func (s *session) listenStatus(ctx context.Context, a *app.App, site store.SiteLine) error {
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
	if len(names) == 0 {
		_, err := fmt.Fprintln(s.out, "Nothing is listened to at this site.")
		return err
	}
	for _, name := range names {
		if err := s.sourceStatus(ctx, a, site, name, zone); err != nil {
			return err
		}
	}
	return nil
}

// sourceStatus tells of one source.
func (s *session) sourceStatus(ctx context.Context, a *app.App, site store.SiteLine, name string, zone *time.Location) error {
	heard, err := s.heardOf(site, name, -readBack)
	if err != nil {
		return err
	}
	last := "nothing was heard yet"
	if n := len(heard); n > 0 {
		last = "last heard " + heard[n-1].At.In(zone).Format("2006-01-02 15:04:05")
	}
	lines, err := a.HeardAs(ctx, site, name, heard)
	if sootline.ErrorCode(err) == sootline.NotFound {
		_, err := fmt.Fprintf(s.out, "%s: %s; %s heard, not taught yet\n", name, last, count(len(live.HeardLines(heard)), "line", "lines"))
		return err
	}
	if err != nil {
		return err
	}
	return s.showReasons(name, last, lines)
}

// showReasons counts what was not understood by the reason, with a line of each.
func (s *session) showReasons(name, last string, lines []live.Line) error {
	read, why, one := 0, map[live.Reason]int{}, map[live.Reason]string{}
	for _, l := range lines {
		switch {
		case l.Read != nil:
			read++
		case l.Shown != "":
			why[l.Why]++
			one[l.Why] = l.Shown
		}
	}
	fmt.Fprintf(s.out, "%s: %s; of what was heard last %s read\n", name, last, count(read, "record is", "records are"))
	var reasons []live.Reason
	for r := range why {
		reasons = append(reasons, r)
	}
	slices.SortFunc(reasons, func(a, b live.Reason) int { return cmp.Or(why[b]-why[a], cmp.Compare(a, b)) })
	for _, r := range reasons {
		fmt.Fprintf(s.out, "  not understood, %s: %s, the last is: %s\n", r, count(why[r], "line", "lines"), oneLine(one[r]))
	}
	return nil
}
