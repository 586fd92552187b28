package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every command that people see has a page, in which each of its flags stands; no line begins as a request does
// that is none.
func TestManuals(t *testing.T) {
	folder := t.TempDir()
	var said strings.Builder
	if code := run(t.Context(), []string{"man", folder, "--day", "2026-01-15"}, strings.NewReader(""), io.Discard, &said); code != exitDone {
		t.Fatal(code, said.String())
	}
	request := regexp.MustCompile(`^\.(TH|SH|PP|TP|nf|fi|BR) ?|^[^.']|^$`)
	for path, cmd := range everyCommand(t) {
		text, err := os.ReadFile(filepath.Join(folder, manName(cmd)+".1"))
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		for line := range strings.Lines(string(text)) {
			if !request.MatchString(line) {
				t.Errorf("%s: %q is no request of the man macros", path, line)
			}
		}
		for line := range strings.Lines(cmd.NonInheritedFlags().FlagUsages()) {
			if _, flag, ok := strings.Cut(line, "--"); ok && strings.HasPrefix(strings.TrimSpace(line), "-") {
				if name := strings.Fields(flag)[0]; !strings.Contains(string(text), dashes("--"+name)) {
					t.Errorf("%s: the page says nothing of --%s", path, name)
				}
			}
		}
	}
	files, err := filepath.Glob(folder + "/*.1")
	if err != nil || len(files) != len(everyCommand(t)) {
		t.Errorf("%d pages of %d commands, %v", len(files), len(everyCommand(t)), err)
	}
}
