package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

func bookCheck(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "check", Short: "Check that the book's file, index and photos are sound and every log unbroken",
		Example: "  sootline book check\n  sootline book check --json",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if asJSON {
					return s.checkBookAsJSON(cmd.Context(), a)
				}
				return s.checkBook(cmd.Context(), a)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

// checkBook looks at file and index, at each picture and at each log: one that is bad
// hides no other.
func (s *session) checkBook(ctx context.Context, a *app.App) error {
	whole := a.Book.Check(ctx)
	if whole == nil {
		what := "File %s is sound, and its index says what the logs say.\n"
		if a.Book.File() == "" {
			what = "The tables of book %s are as they were made, and its index says what the logs say.\n"
		}
		fmt.Fprintf(s.out, what, a.Book.Path())
	}
	photos, badPhotos := soundPhotos(ctx, a)
	if badPhotos == nil && photos > 0 {
		fmt.Fprintf(s.out, "%s, each what was taken.\n", count(photos, "photo", "photos"))
	}
	errs := []error{whole, badPhotos}
	sites, err := a.Book.Sites(ctx)
	errs = append(errs, err)
	for _, site := range sites {
		errs = append(errs, s.checkChains(ctx, a, site))
	}
	return s.allOf(errs)
}

// checkBookAsJSON is checkBook for programs. What is bad is in what it prints, and the first of it ends the command.
func (s *session) checkBookAsJSON(ctx context.Context, a *app.App) error {
	checked := shape.BookCheck{Book: a.Book.Path(), Sites: []shape.SiteCheck{}, Faults: []string{}}
	errs := []error{a.Book.Check(ctx)}
	photos, err := soundPhotos(ctx, a)
	checked.Photos, errs = photos, append(errs, err)
	sites, err := a.Book.Sites(ctx)
	errs = append(errs, err)
	for _, site := range sites {
		v, err := a.VerifyListed(ctx, site)
		if err == nil {
			checked.Sites = append(checked.Sites, shape.SiteCheck{Site: site.Name, Lines: v.Lines, Stations: v.Stations, Whole: len(v.Faults) == 0})
			err = notWhole(site, &v)
		}
		errs = append(errs, err)
	}
	errs = slices.DeleteFunc(errs, func(err error) bool { return err == nil })
	for _, err := range errs {
		checked.Faults = append(checked.Faults, err.Error())
	}
	checked.Sound = len(errs) == 0
	if err := printJSON(s.out, checked); err != nil || checked.Sound {
		return err
	}
	return errs[0]
}

// allOf makes one error of several: each is told among what was found, and the command
// ends with how many there are and the way out of the first.
func (s *session) allOf(errs []error) error {
	errs = slices.DeleteFunc(errs, func(err error) bool { return err == nil })
	switch len(errs) {
	case 0:
		return nil
	case 1:
		return errs[0]
	}
	for _, err := range errs {
		s.printTrouble(err)
	}
	all := sootline.Errorf(sootline.ErrorCode(errs[0]), "", "%d things are wrong, as said above", len(errs))
	all.Ways = sootline.ErrorWays(errs[0])
	return all
}

// soundPhotos counts the pictures that are what was taken; one that is not is an error.
func soundPhotos(ctx context.Context, a *app.App) (int, error) {
	sound, bad, err := a.Book.SoundPhotos(ctx)
	if err == nil && len(bad) > 0 {
		err = sootline.Errorf(sootline.Damaged, "a backup made before may hold them; what entries say beside them stands", "%s cannot be read, since what is kept is not what was taken: %s", count(len(bad), "photo", "photos"), joined(bad)).Do(sootline.RestoreBackup)
	}
	return sound, err
}
