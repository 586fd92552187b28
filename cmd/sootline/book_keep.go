package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/keep"
	"sootline/internal/shape"
)

// placeFlags say how a place is reached, and what opens what lies there.
type placeFlags struct{ storage, identity, at string }

func (f *placeFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.storage, "backup-s3", "", "address of the object storage that s3://BUCKET/PREFIX is in, with keys in AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY")
}

func (f *placeFlags) addOpening(cmd *cobra.Command) {
	f.add(cmd)
	cmd.Flags().StringVar(&f.identity, "identity", "", "file with the secret half of the key, where backups are encrypted")
	cmd.Flags().StringVar(&f.at, "at", "", "the newest not after this time, for example 2026-01-15T08:00:00Z (else the newest)")
}

func (f *placeFlags) open(place string) (keep.Place, error) {
	return keep.Open(place, keep.StorageOf(f.storage))
}

// until reads --at; the zero time where it was not given.
func (f *placeFlags) until() (time.Time, error) {
	if f.at == "" {
		return time.Time{}, nil
	}
	at, err := time.Parse(time.RFC3339, f.at)
	if err != nil {
		return at, sootline.Errorf(sootline.Invalid, "for example 2026-01-15T08:00:00Z", "%q is not a date with a time and its zone", f.at)
	}
	return at, nil
}

// backupTo keeps a backup in a place.
func (s *session) backupTo(ctx context.Context, a *app.App, flags backupFlags) error {
	place, err := flags.open(flags.to)
	if err != nil {
		return err
	}
	keys, err := keep.ReadKeys(flags.recipients, "")
	if err != nil {
		return err
	}
	kept, trouble, err := a.KeepBackup(ctx, keys, place)
	if err != nil {
		return err
	}
	s.notPinned(trouble)
	fmt.Fprintf(s.out, "Book %s is copied to %s, as %s (%s).\n", a.Book.Path(), flags.to, kept.Name(), kilobytes(kept.Size))
	if gone := a.GoneFrom(place); gone != nil {
		s.printTrouble(gone)
	}
	if kept.Encrypted {
		fmt.Fprintln(s.out, "It is encrypted: only the secret half of the key opens it again. Keep that elsewhere.")
	}
	if !flags.thin {
		return nil
	}
	return keep.Thin(ctx, place, a.Now(), func(string) bool { return false })
}

func (s *session) notPinned(trouble error) {
	if trouble != nil {
		fmt.Fprintf(s.err, "The ends of the stations' chains were not pinned: %v.\n", trouble)
	}
}

// kilobytes words a size.
func kilobytes(size int64) string {
	switch {
	case size < 0:
		return "size not known"
	case size < 10_000_000:
		return fmt.Sprintf("%d kB", (size+999)/1000)
	}
	return fmt.Sprintf("%d MB", (size+999_999)/1_000_000)
}

func bookBackups(s *session) *cobra.Command {
	var flags placeFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use: "backups PLACE", Short: "List the backups that a place holds, the newest first",
		Example: "  sootline book backups /mnt/disk/backups\n  sootline book backups s3://backups/works --backup-s3 https://storage.example.org",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			place, err := flags.open(args[0])
			if err != nil {
				return err
			}
			all, err := keep.List(cmd.Context(), place)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, shape.OfBackups(place.String(), all))
			}
			if len(all) == 0 {
				_, err := fmt.Fprintf(s.out, "There is no backup in %s.\n", args[0])
				return err
			}
			var rows [][]string
			for _, c := range all {
				rows = append(rows, []string{c.Name(), c.At.Format("2006-01-02 15:04:05"), kilobytes(c.Size)})
			}
			return printTable(s.out, []string{"name", "began (UTC)", "size"}, rows)
		},
	}
	flags.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print them as JSON (docs/formats/json.md)")
	return cmd
}

func bookDrill(s *session) *cobra.Command {
	var flags placeFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use: "drill PLACE", Short: "Try whether a backup can be put back, and lacks nothing",
		Long: "Try whether a backup can be put back, and lacks nothing: fetch it, put it back in a folder of its\n" +
			"own, check its file, its index, the chains of every site with the signed heads, and its photos, and\n" +
			"compare it with the open book. The book is not changed. On a machine without the book all but the\n" +
			"comparison is done.",
		Example: "  sootline book drill /mnt/disk/backups\n  sootline book drill /mnt/disk/backups --identity key.txt --at 2026-01-15T08:00:00Z",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			place, err := flags.open(args[0])
			if err != nil {
				return err
			}
			until, err := flags.until()
			if err != nil {
				return err
			}
			keys, err := keep.ReadKeys(nil, flags.identity)
			if err != nil {
				return err
			}
			return s.openOrNot(cmd.Context(), func(a *app.App) error {
				drilled, err := a.Drill(cmd.Context(), place, keys, until)
				s.progress.clear()
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfDrilled(place.String(), &drilled))
				}
				return s.printDrilled(args[0], &drilled)
			})
		},
	}
	flags.addOpening(cmd)
	addJSON(cmd, &asJSON)
	return cmd
}

// openOrNot opens the book, or goes on without one where there is none.
func (s *session) openOrNot(ctx context.Context, do func(*app.App) error) error {
	path, err := s.book()
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return do(&app.App{Who: sootline.Actor{Role: sootline.Manager, From: app.AtMachine}, Now: now, Random: random})
	}
	return s.open(ctx, false, do)
}

func (s *session) printDrilled(place string, d *app.Drilled) error {
	fmt.Fprintf(s.out, "Backup %s in %s passed the drill.\n", d.Copy.Name(), place)
	s.say(2, "It can be put back; its file and index are sound; %s of %s and %s are as they were written.",
		count(d.Lines, "line", "lines"), count(d.Sites, "site", "sites"), count(d.Photos, "photo", "photos"))
	if d.Gone != nil {
		s.say(2, "But %v. The server says so no longer.", d.Gone)
	}
	switch {
	case !d.Compared:
		fmt.Fprintln(s.out, "There is no book here to compare it with.")
		return nil
	case d.Known:
		fmt.Fprintln(s.out, "It holds everything that was acknowledged before it began.")
	default:
		s.say(2, "What was acknowledged before it began was not written down here, or no longer is; what it holds was compared.")
	}
	fmt.Fprintf(s.out, "The book holds %s more than it.\n", count(int(d.Since), "line", "lines"))
	if d.Before > 0 {
		s.say(2, "It holds %s that the book lacks, as after a restore of an earlier one.", count(int(d.Before), "line", "lines"))
	}
	return nil
}

func bookKey(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "key FILE", Short: "Make a key to encrypt backups with",
		Long: "Make a key to encrypt backups with. The file holds the secret half, which opens them; keep it where\n" +
			"the backups are not, and not only on the machine that the book is on. The public half is printed:\n" +
			"backups are encrypted to it. Any program for the age format can use both.",
		Example: "  sootline book key key.txt",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			recipient, err := keep.MakeKey(args[0])
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(s.out, "The secret half is in %s. Encrypt to the public half:\n\n  %s\n", args[0], recipient)
			return err
		},
	}
}

// backup is one that was brought to a file.
type backup struct {
	file string
	name string                             // under which it is known
	tidy func() error                       // removes what was made for it
	bad  func(context.Context, error) error // words what is wrong with it
}

// asItIs words nothing.
func asItIs(_ context.Context, err error) error { return err }

// fetched brings the backup to a file, where it is in a place or encrypted.
func (s *session) fetched(ctx context.Context, from, book string, flags placeFlags) (*backup, error) {
	until, err := flags.until()
	if err != nil {
		return nil, err
	}
	inPlace := keep.IsPlace(from)
	if !inPlace && !until.IsZero() {
		return nil, sootline.Errorf(sootline.Invalid, "name a place, or leave the time away", "%s is one backup, and not a place with several", from)
	}
	if !inPlace && !keep.Sealed(from) {
		return &backup{from, from, func() error { return nil }, asItIs}, nil
	}
	keys, err := keep.ReadKeys(nil, flags.identity)
	if err != nil {
		return nil, err
	}
	folder, err := app.Aside(book)
	if err != nil {
		return nil, err
	}
	b := &backup{filepath.Join(folder, "fetched.db"), from, func() error { return os.RemoveAll(folder) }, asItIs}
	if inPlace {
		err = b.fetch(ctx, &flags, from, until, keys)
	} else {
		err = keep.Decrypt(from, b.file, keys.With)
	}
	if err != nil {
		return nil, errors.Join(err, b.tidy())
	}
	return b, nil
}

// fetch brings a backup from a place to its file.
func (b *backup) fetch(ctx context.Context, flags *placeFlags, from string, until time.Time, keys keep.Keys) error {
	place, err := flags.open(from)
	if err != nil {
		return err
	}
	kept, err := keep.Choose(ctx, place, until, now())
	if err != nil {
		return err
	}
	b.name = kept.Name() + " in " + from
	b.bad = func(ctx context.Context, err error) error {
		return app.BadBackup(ctx, place, kept, filepath.Dir(b.file), err)
	}
	return b.bad(ctx, keep.Fetch(ctx, place, kept, b.file, keys.With))
}
