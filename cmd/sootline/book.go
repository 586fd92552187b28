package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func bookCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "book", Short: "Back up, restore, check and index the book's file",
		Example: "  sootline book backup works-2026-01-15.db",
	}
	cmd.AddCommand(bookBackup(s), bookRestore(s), bookCheck(s), bookIndex(s))
	return cmd
}

func bookBackup(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "backup FILE", Short: "Copy the book as it stands; it may be in use meanwhile",
		Example: "  sootline book backup works-2026-01-15.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				trouble, err := a.Backup(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				if trouble != nil {
					fmt.Fprintf(s.err, "The ends of the stations' chains were not pinned: %v.\n", trouble)
				}
				_, err = fmt.Fprintf(s.out, "Book %s is copied to %s.\n", a.Book.Path(), args[0])
				return err
			})
		},
	}
}

func bookRestore(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "restore BACKUP", Short: "Put a backup in the book's place",
		Long:    "Put a backup in the book's place. The backup is checked first; a book that is there\nalready is kept beside it. Nobody may have the book open meanwhile.",
		Example: "  sootline book restore works-2026-01-15.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			path, err := s.book()
			if err != nil {
				return err
			}
			kept, err := store.Restore(cmd.Context(), args[0], path, s.indexing(path))
			s.progress.clear()
			if err != nil {
				return err
			}
			err = s.open(cmd.Context(), false, func(a *app.App) error { return a.NoteRestored(cmd.Context(), args[0]) })
			if err != nil {
				return err
			}
			fmt.Fprintf(s.out, "Book %s is restored from %s.\n", path, args[0])
			if kept != "" {
				fmt.Fprintf(s.out, "The book that was there is kept as %s. What it holds beyond the backup comes back by\n`sootline --book %s log export`, and an import of that.\n", kept, kept)
			}
			return nil
		},
	}
}

func bookCheck(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "check", Short: "Check that the book's file, index and photos are sound and every log unbroken",
		Example: "  sootline book check",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				return s.checkBook(cmd.Context(), a)
			})
		},
	}
}

// checkBook looks at file and index, at each picture and at each log: one that is bad
// hides no other.
func (s *session) checkBook(ctx context.Context, a *app.App) error {
	whole := a.Book.Check(ctx)
	if whole == nil {
		fmt.Fprintf(s.out, "File %s is sound, and its index says what the logs say.\n", a.Book.Path())
	}
	errs := []error{whole, s.checkPhotos(ctx, a)}
	sites, err := a.Book.Sites(ctx)
	errs = append(errs, err)
	for _, site := range sites {
		errs = append(errs, s.checkChains(ctx, a, site))
	}
	return s.allOf(errs)
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

func (s *session) checkPhotos(ctx context.Context, a *app.App) error {
	sound, bad, err := a.Book.SoundPhotos(ctx)
	switch {
	case err != nil:
		return err
	case len(bad) > 0:
		return sootline.Errorf(sootline.Damaged, "a backup made before may hold them; what entries say beside them stands", "%s cannot be read, since what is kept is not what was taken: %s", count(len(bad), "photo", "photos"), joined(bad)).Do(sootline.RestoreBackup)
	case sound > 0:
		fmt.Fprintf(s.out, "%s, each what was taken.\n", count(sound, "photo", "photos"))
	}
	return nil
}

func bookIndex(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "index", Short: "Drop the index of the book and rebuild it from the logs",
		Long:    "Drop the index of the book and rebuild it from the logs. The index says where each\nentry is, so that none need be read to find one. It is kept by itself; only a damage\nto it, which `book check` finds, makes this necessary. No log is changed.",
		Example: "  sootline book index",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				entries := 0
				show := s.indexing(a.Book.Path())
				err := a.Book.Reindex(cmd.Context(), func(done, total int) {
					if entries = done; show != nil {
						show(done, total)
					}
				})
				s.progress.clear()
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "The index of book %s is rebuilt: %d entries.\n", a.Book.Path(), entries)
				return err
			})
		},
	}
}
