package main

import (
	"context"
	"fmt"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/papers"
	"sootline/internal/store"
)

// verifyPaper says what a printed paper rests on, whether that part of the book
// is as it was, and what was written since.
func (s *session) verifyPaper(ctx context.Context, a *app.App, site store.SiteLine, code string) error {
	check, err := papers.Verify(ctx, a, site.ID, code)
	if err != nil {
		return err
	}
	e := check.Entry
	if check.Broken != nil {
		return sootline.Errorf(sootline.Damaged, "put a backup in the book's place with `sootline book restore BACKUP`", "the book is not what the paper rests on: %w", check.Broken)
	}
	fmt.Fprintf(s.out, "The paper is of site %s and rests on entry %s\n", site.Name, e.ID)
	fmt.Fprintf(s.out, "  %s, noted by %s on %s: line %d of station %s; none of the %s up to it was altered\n",
		e.Body.Kind(), e.By, e.Noted.In(check.Zone).Format("2006-01-02 15:04"), e.Seq, e.Station, count(check.Lines, "line", "lines"))
	if check.Since == 0 {
		_, err := fmt.Fprintln(s.out, "Nothing was noted after it: printed again, the paper would say the same.")
		return err
	}
	fmt.Fprintf(s.out, "Noted after it: %s.\n", count(check.Since, "entry", "entries"))
	if len(check.Earlier) == 0 {
		_, err := fmt.Fprintln(s.out, "All of them speak of later days: for its own day, the paper would say the same.")
		return err
	}
	fmt.Fprintf(s.out, "%s of them speak of days before, so that the paper printed again for its day may differ:\n", count(len(check.Earlier), "entry", "entries"))
	for i := range check.Earlier[:min(most, len(check.Earlier))] {
		late := &check.Earlier[i]
		fmt.Fprintf(s.out, "  %s  %s  %s\n", late.At.In(check.Zone).Format(time.DateOnly), late.Body.Kind(), wrap(sootline.Say(late.Body), 24))
	}
	return nil
}
