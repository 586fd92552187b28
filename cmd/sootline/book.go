package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

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
		Use: "check", Short: "Check that the book's file and index are sound and every log unbroken",
		Example: "  sootline book check",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if err := a.Book.Check(cmd.Context()); err != nil {
					return err
				}
				fmt.Fprintf(s.out, "File %s is sound, and its index says what the logs say.\n", a.Book.Path())
				sites, err := a.Book.Sites(cmd.Context())
				if err != nil {
					return err
				}
				var errs []error
				for _, site := range sites {
					errs = append(errs, s.checkChains(cmd.Context(), a, site))
				}
				return errors.Join(errs...)
			})
		},
	}
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
