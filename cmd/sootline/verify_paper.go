package main

import (
	"context"
	"fmt"
	"os"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/papers"
	"sootline/internal/store"
)

// errOther is what a file that is not the issued one ends with.
func errOther(code string) error {
	return sootline.Errorf(sootline.Damaged, "ask whoever handed it over for the file that was issued", "the file is not a paper that was issued under the code %s", code)
}

// verifyPaper says what a printed paper rests on, whether that part of the book
// is as it was, whether a file is the one issued, and what was written since.
func (s *session) verifyPaper(ctx context.Context, a *app.App, site store.SiteLine, flags verifyFlags) error {
	var file []byte
	if flags.file != "" {
		var err error
		if file, err = os.ReadFile(flags.file); err != nil {
			return sootline.Errorf(sootline.NotFound, "give the file of the paper", "%w", err)
		}
	}
	check, err := papers.Verify(ctx, a, site.ID, flags.paper, file)
	if err != nil {
		return err
	}
	if check.Broken != nil {
		return sootline.Errorf(sootline.Damaged, "put a backup in the book's place with `sootline book restore BACKUP`", "the book is not what the paper rests on: %w", check.Broken)
	}
	if err := s.saysWhat(site, flags, &check); err != nil {
		return err
	}
	s.saysSince(&check)
	return nil
}

// saysWhat says what the code names, and whether the file is it.
func (s *session) saysWhat(site store.SiteLine, flags verifyFlags, check *papers.Check) error {
	if e := check.Entry; e != nil {
		fmt.Fprintf(s.out, "The paper is a draft, or older than issued papers, of site %s: it rests on entry %s\n", site.Name, e.ID)
		fmt.Fprintf(s.out, "  %s, noted by %s on %s: line %d of station %s; none of the %s up to it was altered\n",
			e.Body.Kind(), e.By, e.Noted.In(check.Zone).Format("2006-01-02 15:04"), e.Seq, e.Station, count(check.Lines, "line", "lines"))
		fmt.Fprintln(s.out, "What a draft says is not in the book: hold it against one printed anew.")
		if check.File {
			return errOther(flags.paper)
		}
		return nil
	}
	for _, e := range check.Issued {
		said, _ := e.Body.(sootline.Issued)
		fmt.Fprintf(s.out, "The paper %s of site %s, of %s, was issued by %s on %s.\n", said.Paper, site.Name, said.Day, e.By, e.Noted.In(check.Zone).Format("2006-01-02 15:04"))
	}
	fmt.Fprintf(s.out, "None of the %s that it rests on was altered.\n", count(check.Lines, "line", "lines"))
	switch {
	case check.Same != nil:
		fmt.Fprintf(s.out, "%s is the file that was issued, to the last byte.\n", flags.file)
	case check.File:
		return errOther(flags.paper)
	default:
		fmt.Fprintln(s.out, "Whether a paper under this code says what was issued, only its file shows: --file FILE.")
	}
	return nil
}

// saysSince says what was written since.
func (s *session) saysSince(check *papers.Check) {
	switch {
	case check.Since == 0:
		fmt.Fprintln(s.out, "Nothing was noted after it: made again, the paper would say the same.")
		return
	case len(check.Earlier) == 0:
		fmt.Fprintf(s.out, "Noted after it: %s, none about its time: its record has not changed.\n", count(check.Since, "entry", "entries"))
		return
	}
	fmt.Fprintf(s.out, "Noted after it: %s.\n", count(check.Since, "entry", "entries"))
	fmt.Fprintf(s.out, "Its record has changed since, by %s: made again for its day, the paper may differ:\n", count(len(check.Earlier), "entry", "entries"))
	for _, late := range check.Earlier[:min(most, len(check.Earlier))] {
		fmt.Fprintf(s.out, "  %s  %s  %s\n", late.When(check.Zone, "2006-01-02"), late.Body.Kind(), s.wrap(sootline.Say(late.Body), 24))
	}
}
