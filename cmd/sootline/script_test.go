package main

import (
	"bytes"
	"context"
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what is printed into testdata and the handbook, instead of comparing")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"sootline": main})
}

// TestScripts runs the whole sessions of testdata/*.txt. Exit codes beside 0 and
// 1 are told apart by the command `exits CODE sootline ...`.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata",
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("SOOTLINE_NOW", "2026-01-20T10:00:00Z")
			env.Setenv("SOOTLINE_BY", "A. Tech")
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits runs the program in this process and wants an exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || args[1] != "sootline" {
		ts.Fatalf("usage: exits CODE sootline ARGS...")
	}
	err := ts.Exec("sootline", args[2:]...)
	code := "0"
	if err != nil {
		code = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if code != args[0] {
		ts.Fatalf("exit code %s, want %s", code, args[0])
	}
}

// TestHandbook runs the worked examples of the handbook: a fenced block `file
// NAME` is written to a file, and in a fenced block `session` each line after $
// is run and what follows must be what it prints.
func TestHandbook(t *testing.T) {
	pages, err := filepath.Glob("../../docs/handbook/*.md")
	if err != nil || len(pages) == 0 {
		t.Fatalf("no page of the handbook found: %v", err)
	}
	for _, page := range pages {
		page, err := filepath.Abs(page)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(filepath.Base(page), func(t *testing.T) {
			t.Chdir(t.TempDir())
			t.Setenv("SOOTLINE_NOW", "2026-01-20T10:00:00Z")
			t.Setenv("SOOTLINE_BY", "A. Tech")
			t.Setenv("SOOTLINE_BOOK", "book.db")
			t.Setenv("XDG_DATA_HOME", t.TempDir())
			before, err := os.ReadFile(page)
			if err != nil {
				t.Fatal(err)
			}
			after, ran := rerun(t, string(before))
			switch {
			case ran == 0:
				t.Error("the page has no session that is run")
			case *update:
				if err := os.WriteFile(page, []byte(after), 0o644); err != nil {
					t.Fatal(err)
				}
			case after != string(before):
				t.Errorf("the sessions print something else (go test ./cmd/sootline -run Handbook -update):\n%s", cmp.Diff(string(before), after))
			}
		})
	}
}

// rerun gives the page with the sessions as they are printed now.
func rerun(t *testing.T, page string) (again string, ran int) {
	var out strings.Builder
	var file *os.File
	inSession, fence := false, false
	for line := range strings.Lines(page) {
		word, arg, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(line, "```")), " ")
		switch {
		case strings.HasPrefix(line, "```") && fence:
			fence, inSession = false, false
			if file != nil {
				if err := file.Close(); err != nil {
					t.Fatal(err)
				}
				file = nil
			}
		case strings.HasPrefix(line, "```"):
			fence, inSession = true, word == "session"
			if word == "file" {
				var err error
				if file, err = os.Create(arg); err != nil {
					t.Fatal(err)
				}
			}
		case file != nil:
			if _, err := file.WriteString(line); err != nil {
				t.Fatal(err)
			}
		case inSession && strings.HasPrefix(line, "$ "):
			out.WriteString(line)
			out.WriteString(play(t, strings.TrimSpace(line[2:])))
			ran++
			continue
		case inSession:
			continue // what was printed before
		}
		out.WriteString(line)
	}
	return out.String(), ran
}

// input gives what a line reads from, "< FILE" at its end, and takes that off.
func input(t *testing.T, args *[]string) io.Reader {
	n := len(*args)
	if n < 2 || (*args)[n-2] != "<" {
		return strings.NewReader("")
	}
	text, err := os.ReadFile((*args)[n-1])
	if err != nil {
		t.Fatal(err)
	}
	*args = (*args)[:n-2]
	return bytes.NewReader(text)
}

// play runs one line of a session in this process.
func play(t *testing.T, line string) string {
	args := words(line)
	if args[0] == "cat" {
		text, err := os.ReadFile(args[1])
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimPrefix(string(text), "\ufeff")
	}
	if args[0] != "sootline" {
		t.Fatalf("a session runs sootline and cat only, found %q", line)
	}
	var printed bytes.Buffer
	in := input(t, &args)
	code := run(context.Background(), args[1:], in, &printed, &printed)
	if code == exitCouldNot && !strings.Contains(printed.String(), "hint:") {
		t.Errorf("%s: exit code %d without a hint:\n%s", line, code, printed.String())
	}
	text := anySecret.ReplaceAllString(printed.String(), "$1(secret)")
	text = anyCode.ReplaceAllString(anyID.ReplaceAllString(text, "(id)"), "(code)")
	return anyEra.ReplaceAllString(anyStation.ReplaceAllString(text, "(station)"), "(station)~(era)")
}

// anyID is drawn anew in each run, so the handbook shows none.
var anyID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`)

// anyCode is the code of a paper, which follows from such ids.
var anyCode = regexp.MustCompile(`[A-Z2-7]{4}(-[A-Z2-7]{4}){3}`)

// anySecret is the key of an invitation, or a token.
var anySecret = regexp.MustCompile(`(/welcome/|sootline_)[\w-]{27}`)

// anyStation is the name that this computer's place of work was given in the run.
var anyStation = regexp.MustCompile(`\bs-[a-z0-9]{10}\b`)

// anyEra is what a book adds to it, drawn anew in each run.
var anyEra = regexp.MustCompile(`\(station\)~[a-z0-9]{8}\b`)

// words splits a command line as a shell does, as far as the handbook needs.
func words(line string) []string {
	var all []string
	var word strings.Builder
	var quote rune
	started := false
	for _, c := range line + " " {
		switch {
		case quote == 0 && c == ' ':
			if started {
				all = append(all, word.String())
				word.Reset()
			}
			started = false
		case quote == 0 && (c == '"' || c == '\''):
			quote, started = c, true
		case c == quote:
			quote = 0
		default:
			word.WriteRune(c)
			started = true
		}
	}
	return all
}
