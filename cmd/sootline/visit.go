package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"sootline"
)

func visitCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "visit", Short: "What is due, the round of a visit, its beginning and its end",
		Example: "  sootline visit due --site Works\n  sootline visit plan --minutes 240 --sheet round.xlsx\n  sootline visit open --minutes 240\n  sootline visit close --normal",
	}
	cmd.AddCommand(visitDue(s), visitPlan(s), visitOpen(s), visitWalk(s), visitClose(s), visitList(s), visitRules(s), visitChanged(s))
	return cmd
}

// mustBeFree refuses to write over a file that somebody may have filled in.
func mustBeFree(path string) error {
	if _, err := os.Stat(path); path != "" && err == nil {
		return sootline.Errorf(sootline.Conflict, "name another file, or move that one away", "%s is there already, and may be filled in", path)
	}
	return nil
}

// writeWhole writes a file beside its name and moves it there when it is whole.
func writeWhole(path string, write func(io.Writer) error) (err error) {
	part, err := os.CreateTemp(filepath.Dir(path), ".write-*.part")
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "its folder must be there and be writable", "write %s: %w", path, err)
	}
	err = errors.Join(write(part), part.Chmod(0o600), part.Sync(), part.Close())
	if err == nil {
		err = os.Rename(part.Name(), path)
	}
	if err != nil {
		return errors.Join(sootline.Errorf(sootline.Unavailable, "its disk must have room", "write %s: %w", path, err), os.Remove(part.Name()))
	}
	return nil
}
