package store

import (
	"context"
	"embed"
	"fmt"
	"io/fs"

	"sootline"
)

//go:embed migrations/*.sql
var migrations embed.FS

// migrate brings the schema up to date: the files of migrations/, in the order
// of their names, each once; the schema's version is how many were applied.
// Files are only ever added. A book of a version without an index is indexed in
// the same transaction: if the program is killed meanwhile, the book is what it
// was, and the next one does it again.
func (s *Store) migrate(ctx context.Context, working Working) error {
	version, err := s.version(ctx, s.read)
	if err != nil {
		return err
	}
	names := migrationNames()
	if version == len(names) {
		return nil
	}
	if err := known(s.path, version); err != nil {
		return err
	}
	return s.Write(ctx, func(tx *Tx) error { return s.bringUp(tx, names, working) })
}

func migrationNames() []string {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		panic(err) // only a malformed pattern is an error
	}
	return names
}

// known refuses the schema of a later version.
func known(path string, version int) error {
	if newest := len(migrationNames()); version > newest {
		return sootline.Errorf(sootline.Newer, "install the Sootline that made it, or a later one",
			"book %s was made by a later Sootline: its schema is version %d, this one knows %d", path, version, newest)
	}
	return nil
}

// bringUp applies what is missing. The version is read again: another process
// may have come first.
func (s *Store) bringUp(tx *Tx, names []string, working Working) error {
	version, err := s.version(tx.ctx, tx.tx)
	if err != nil {
		return err
	}
	if version == 0 {
		if err := s.mustBeEmpty(tx); err != nil {
			return err
		}
	}
	for i := version; i < len(names); i++ {
		if err := tx.apply(names[i]); err != nil {
			return err
		}
	}
	if version < indexVersion {
		if err := tx.fillIndex(working); err != nil {
			return err
		}
	}
	return s.setVersion(tx, len(names))
}

// apply runs the file of a migration.
func (tx *Tx) apply(name string) error {
	text, err := migrations.ReadFile(name)
	if err != nil {
		return err
	}
	if _, err := tx.tx.ExecContext(tx.ctx, tx.in.text(string(text))); err != nil {
		return fmt.Errorf("migration %s: %w", name, err)
	}
	return nil
}
