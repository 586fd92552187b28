package main

import (
	"context"
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
	cmd.AddCommand(bookBackup(s), bookBackups(s), bookDrill(s), bookRestore(s), bookCheck(s), bookIndex(s), bookHeads(s), bookKey(s), bookExchange(s))
	return cmd
}

// backupFlags say where a backup goes, and who can open it.
type backupFlags struct {
	placeFlags
	to         string
	recipients []string
	thin       bool
}

func bookBackup(s *session) *cobra.Command {
	var flags backupFlags
	cmd := &cobra.Command{
		Use: "backup FILE", Short: "Copy the book as it stands; it may be in use meanwhile",
		Long: "Copy the book as it stands; it may be in use meanwhile. To a file that is not there yet, or with --to\n" +
			"to a place that holds many, under a name that tells when it began.",
		Example: "  sootline book backup works-2026-01-15.db\n  sootline book backup --to /mnt/disk/backups\n" +
			"  sootline book backup --to s3://backups/works --backup-s3 https://storage.example.org --recipient age1...",
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case flags.to == "" && len(args) == 0, flags.to != "" && len(args) > 0:
				return usageError{errors.New("name a file, or a place with --to")}
			case flags.to == "" && (len(flags.recipients) > 0 || flags.thin):
				return usageError{errors.New("--recipient and --thin are for a place: name it with --to")}
			}
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if flags.to != "" {
					return s.backupTo(cmd.Context(), a, flags)
				}
				return s.backupFile(cmd.Context(), a, args[0])
			})
		},
	}
	flags.add(cmd)
	cmd.Flags().StringVar(&flags.to, "to", "", "a place: a folder, or s3://BUCKET/PREFIX")
	cmd.Flags().StringArrayVar(&flags.recipients, "recipient", nil, "encrypt to this public half of a key (age1...)")
	cmd.Flags().BoolVar(&flags.thin, "thin", false, "then remove from the place, of those older than two days all but one a day, older than sixty days all but one a month")
	return cmd
}

func (s *session) backupFile(ctx context.Context, a *app.App, to string) error {
	trouble, err := a.Backup(ctx, to)
	if err != nil {
		return err
	}
	s.notPinned(trouble)
	_, err = fmt.Fprintf(s.out, "Book %s is copied to %s.\n", a.Book.Path(), to)
	return err
}

func bookRestore(s *session) *cobra.Command {
	var flags placeFlags
	cmd := &cobra.Command{
		Use: "restore BACKUP", Short: "Put a backup in the book's place",
		Long: "Put a backup in the book's place: a file, or from a folder or s3://BUCKET/PREFIX the newest, or the\n" +
			"newest not after a time. The backup is checked first; a book that is there already is kept beside it.\n" +
			"Nobody may have the book open meanwhile.",
		Example: "  sootline book restore works-2026-01-15.db\n  sootline book restore /mnt/disk/backups --at 2026-01-15T08:00:00Z --identity key.txt",
		Args:    cobra.ExactArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return s.restore(cmd.Context(), args[0], flags) },
	}
	flags.addOpening(cmd)
	return cmd
}

func (s *session) restore(ctx context.Context, from string, flags placeFlags) (err error) {
	path, err := s.book()
	if err != nil {
		return err
	}
	if err := store.MayRestore(path); err != nil {
		return err
	}
	taken, err := s.fetched(ctx, from, path, flags)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, taken.tidy()) }()
	kept, err := store.Restore(ctx, taken.file, path, s.indexing(path))
	s.progress.clear()
	if err != nil {
		return taken.bad(ctx, err)
	}
	err = s.open(ctx, false, func(a *app.App) error { return a.NoteRestored(ctx, taken.name) })
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Book %s is restored from %s.\n", path, taken.name)
	if kept != "" {
		fmt.Fprintf(s.out, "The book that was there is kept as %s. What it holds beyond the backup comes back by\n`sootline --book %s log export`, and an import of that.\n", kept, kept)
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
