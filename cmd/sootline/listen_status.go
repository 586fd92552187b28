package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
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

func (s *session) listenStatus(ctx context.Context, a *app.App, site store.SiteLine, asJSON bool) error {
	found, err := a.SourcesOf(ctx, site)
	if err != nil {
		return err
	}
	zone, err := a.ZoneOf(ctx, site.ID)
	if err != nil {
		return err
	}
	all := shape.OfSources(found, zone)
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

func (s *session) printSource(source *shape.Source) {
	last := "nothing was heard yet"
	if source.Last != nil {
		last = "last heard " + source.Last.Format("2006-01-02 15:04:05")
	}
	switch {
	case source.Values > 0 || source.GivesValues():
		s.say(2, "%s: %s; %s kept as they came", source.Name, last, count(source.Values, "value is", "values are"))
	case source.Taught:
		unread := 0
		for _, n := range source.NotUnderstood {
			unread += n.Lines
		}
		s.say(2, "%s: %s; of the last %s: %s read, %s not understood", source.Name, last, count(source.Lines, "line", "lines"), count(source.Read, "record", "records"), count(unread, "line", "lines"))
	default:
		s.say(2, "%s: %s; %s heard, not taught yet", source.Name, last, count(source.Lines, "line", "lines"))
	}
	fmt.Fprintf(s.out, "  %s\n", sootline.Joined(source.State, source.Said))
	if source.NotKept > 0 {
		fmt.Fprintf(s.out, "  %s came too fast, and were not kept\n", count(int(source.NotKept), "byte", "bytes"))
	}
	for _, n := range source.NotUnderstood {
		fmt.Fprintf(s.out, "  not understood, %s: %s, the last is: %s\n", n.Why, count(n.Lines, "line", "lines"), oneLine(n.Last))
		if n.Do != "" {
			fmt.Fprintf(s.out, "    to do: %s\n", s.wrap(n.Do, 11))
		}
	}
}
