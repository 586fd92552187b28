package main

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
)

// What scripts/packages says to the linker: the number of the release, the commit and its day. Empty in any
// other build; what Go itself wrote into the program stands then.
var release, releaseCommit, releaseDay string

// build is what the program knows of how it was built. Empty is what nobody wrote into it.
type build struct {
	Version string `json:"version"` // of the release, else "unreleased"
	Commit  string `json:"commit,omitempty"`
	Changed bool   `json:"changed,omitempty"` // the source was not as in the commit
	Day     string `json:"day,omitempty"`     // of the commit, UTC
	Go      string `json:"go"`
	OS      string `json:"os"`
	Arch    string `json:"arch"`
}

// thisBuild reads what Go wrote into the program.
func thisBuild() build {
	b := build{Version: cmp.Or(release, "unreleased"), Commit: releaseCommit, Day: releaseDay, Go: runtime.Version(), OS: runtime.GOOS, Arch: runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	for _, fact := range info.Settings {
		switch fact.Key {
		case "vcs.revision":
			b.Commit = cmp.Or(b.Commit, fact.Value)
		case "vcs.modified":
			b.Changed = fact.Value == "true"
		case "vcs.time":
			if at, err := time.Parse(time.RFC3339, fact.Value); err == nil {
				b.Day = cmp.Or(b.Day, at.UTC().Format(time.DateOnly))
			}
		}
	}
	return b
}

// String says it in a line: what somebody who reports a fault copies.
func (b build) String() string {
	var facts []string
	if b.Commit != "" {
		commit := "commit " + b.Commit[:min(12, len(b.Commit))]
		if b.Changed {
			commit += " and changes"
		}
		facts = append(facts, commit)
	}
	if b.Day != "" {
		facts = append(facts, b.Day)
	}
	facts = append(facts, b.Go, b.OS+"/"+b.Arch)
	return fmt.Sprintf("sootline %s (%s)", b.Version, strings.Join(facts, ", "))
}

func versionCommand(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "version", Short: "Say which version this is, and how it was built",
		Example: "  sootline version\n  sootline version --json",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return printVersion(s.out, asJSON) },
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func printVersion(w io.Writer, asJSON bool) error {
	if asJSON {
		return printJSON(w, thisBuild())
	}
	_, err := fmt.Fprintln(w, thisBuild())
	return err
}
