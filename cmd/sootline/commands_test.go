package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// everyCommand lists the commands that people see, with the path of each.
func everyCommand(t *testing.T) map[string]*cobra.Command {
	all := map[string]*cobra.Command{}
	var walk func(*cobra.Command)
	walk = func(cmd *cobra.Command) {
		if !cmd.Hidden {
			all[strings.TrimPrefix(cmd.CommandPath(), "sootline ")] = cmd
		}
		for _, sub := range cmd.Commands() {
			walk(sub)
		}
	}
	root := rootCommand(&session{in: strings.NewReader(""), out: io.Discard, err: io.Discard})
	root.InitDefaultHelpCmd()
	walk(root)
	if len(all) < 100 {
		t.Fatalf("only %d commands were found", len(all))
	}
	return all
}

// Every command shows by an example how it is used, with flags that it has.
func TestEveryHelpHasAnExample(t *testing.T) {
	for path, cmd := range everyCommand(t) {
		own := false
		for line := range strings.Lines(strings.ReplaceAll(cmd.Example, "\\\n", "")) {
			line, _, _ = strings.Cut(strings.TrimSpace(line), " >")
			args := words(line)
			if len(args) == 0 || args[0] != "sootline" {
				t.Errorf("%s: the example %q does not begin with sootline", path, line)
				continue
			}
			root := rootCommand(&session{in: strings.NewReader(""), out: io.Discard, err: io.Discard})
			root.InitDefaultHelpCmd()
			found, rest, err := root.Find(args[1:])
			if err == nil {
				err = found.ParseFlags(rest)
			}
			if err == nil {
				err = found.ValidateRequiredFlags()
			}
			if err == nil && found.Args != nil {
				err = found.Args(found, found.Flags().Args())
			}
			if err != nil {
				t.Errorf("%s: the example %q is refused: %v", path, line, err)
				continue
			}
			own = own || found.CommandPath() == cmd.CommandPath() || found.HasParent() && strings.HasPrefix(found.CommandPath(), cmd.CommandPath()+" ")
		}
		if !own {
			t.Errorf("%s --help has no example of it", path)
		}
	}
}

// shows is a command line that shows something, after what makes it show it.
type shows struct {
	path string   // of the command
	args []string // behind it
}

// showing lists a command line for each command that shows something of a book. All others write, or go on for ever.
func showing() []shows {
	of := func(path string, args ...string) shows { return shows{path, args} }
	return []shows{
		of("address card", "--loop", "1.1"), of("address found", "1.1", "answers.csv"), of("address how"), of("address order"),
		of("address plan", "1.2"), of("address search", "1.1"), of("address settings"), of("address want"),
		of("alarms"), of("ask"), of("bench left"), of("bench look", "--serial", "Z9", "--read", "3"), of("bench next"), of("bench show"),
		of("book backups", "places"), of("book check"), of("book drill", "places"), of("check"), of("check", "--all"),
		of("defect"), of("defect show", "1.1.001"), of("judge"), of("judge", "1.1.002"), of("judge", "--all", "--why"), of("log", "--last", "200"),
		of("listen status"), of("log verify"), of("loop"), of("loop", "1.1", "--faults"), of("loop advise", "1.1"),
		of("loop break", "1.1", "--out-nf", "60", "--in-nf", "40"), of("loop earth", "1.1", "--core", "minus", "--murray", "668/332"),
		of("loop design", "wanted.csv"), of("loop find", "1.1", "--panel", "says open"), of("loop find", "1.1", "--panel", "says open", "--told", "out/list: answers 1-15"),
		of("loop short", "1.1", "--out-ohms", "6.4", "--in-ohms", "11.2"),
		of("paper issued"), of("photo"), of("serve person journal"), of("serve person list"), of("serve token list"),
		of("site area"), of("site facts"), of("site list"), of("site rules"), of("site show"),
		of("standby", "--panel", "1"), of("standby", "--rules"), of("standby wear", "--rated", "7", "--amps", "0.7", "--hours", "7.2"),
		of("take alias"), of("take list"), of("version"), of("visit due"), of("visit list"), of("visit plan", "--minutes", "240"),
		of("visit rules"), of("visit rules", "--sets"), of("visit walk"),
	}
}

// showingNothing lists the commands that write or make something, ask, or serve; what they say of it is for people.
const showingNothing = `address read, address set, bench, bench begin, bench done, bench end, bench reject, bench reopen, bench replace, bench run, bench skip,
	bench undo, book backup, book exchange, book heads, book index, book key, book restore, completion, defect add, defect follow, defect mend, defect retest, demo, help, log correct,
	log export, log import, log settle, log withdraw, listen, listen again, listen source, listen teach, listen values, loop radial, loop supply, paper, photo add, photo extract, point, point add, point move, point place, point remove, serve, serve person add, serve person factor-off, serve person invite, serve person password,
	serve person leave, serve person remove, serve person role, serve person sign-out, serve person sites, serve token add, serve token remove, standby loads, standby undo, site add, site loop, take,
	take undo, visit changed, visit close, visit open, address, book, log add, serve person, serve token, site, visit, sootline`

// demoBook makes the demo's book with something of everything, and goes where it lies.
func demoBook(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, value := range map[string]string{"SOOTLINE_BOOK": "demo/demo.db", "SOOTLINE_NOW": "2026-11-30T10:00:00Z", "SOOTLINE_BY": "A. Tech", "XDG_DATA_HOME": t.TempDir(), "COLUMNS": "80"} {
		t.Setenv(name, value)
	}
	t.Setenv("TMPDIR", t.TempDir())
	for name, lines := range map[string]string{"answers.csv": "address,type\n1,Wuffen\n2,Drusket\n", "wanted.csv": "area,floor,m2,Wuffen,Drusket\nLong loft,2,500,12,1\nHall,0,240,6,1\n"} {
		if err := os.WriteFile(name, []byte(lines), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir("places", 0o700); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		`demo`, `log add defect --point 1.1.001 --nature damage --grade serious --text "the cover is cracked from one side to the other, and hangs by one screw"`,
		`bench begin --loop 1.1 --all --name "loop 1"`, `book backup --to places`, `paper schedule --issue -o schedule.pdf`,
		`serve person add "M. Manager" --role manager < password`, `serve token add nightly --role reader --until 2026-12-31`,
		`address want blink=off --area "Plant room" --reason "the boiler's inspection window is mistaken for it"`,
		`site area "Plant room" --floor Basement --m2 640`,
		`visit open --minutes 240 --confirm responsible,monitoring,outputs,disabled`,
	} {
		if out, code := played(t, line); code != exitDone {
			t.Fatalf("%s gives %d: %s", line, code, out)
		}
	}
}

// played runs a line of a session, and gives what it prints and its exit code.
func played(t *testing.T, line string) (string, int) {
	t.Helper()
	if err := os.WriteFile("password", []byte("seven quiet lanterns\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	args := words(strings.TrimSpace(line))
	in := input(t, &args)
	var out, said bytes.Buffer
	code := run(context.Background(), args, in, &out, &said)
	return out.String() + said.String(), code
}

// What a command shows, it gives as JSON too; and nothing that it shows for people is wider than a terminal of 80 columns.
func TestWhatIsShown(t *testing.T) {
	listed := map[string]bool{}
	for _, s := range showing() {
		listed[s.path] = true
	}
	others := strings.Split(strings.Join(strings.Fields(showingNothing), " "), ", ")
	for path, cmd := range everyCommand(t) {
		hasJSON := cmd.Flags().Lookup("json") != nil
		switch {
		case listed[path] && !hasJSON:
			t.Errorf("%s shows something, and has no --json", path)
		case !listed[path] && hasJSON:
			t.Errorf("%s has --json, and is not tried here", path)
		case !listed[path] && !slices.Contains(others, path) && !strings.HasPrefix(path, "log add "):
			t.Errorf("whether %s shows something is not said here", path)
		}
	}
	demoBook(t)
	for _, s := range showing() {
		line := append(strings.Fields(s.path), s.args...)
		t.Run(strings.Join(line, " "), func(t *testing.T) {
			var said strings.Builder
			var shown, asJSON bytes.Buffer
			if code := run(t.Context(), append(line, "--json"), strings.NewReader(""), &asJSON, &said); code != exitDone {
				t.Fatalf("--json ends with %d: %s", code, said.String())
			}
			if err := isJSON(asJSON.Bytes()); err != nil {
				t.Errorf("--json does not parse: %v\n%s", err, asJSON.String())
			}
			if code := run(t.Context(), line, strings.NewReader(""), &shown, &said); code != exitDone {
				t.Fatalf("ends with %d: %s", code, said.String())
			}
			for _, wide := range tooWide(shown.String(), 80) {
				t.Errorf("wider than 80 columns: %s", wide)
			}
		})
	}
}

// isJSON reads JSON, or JSON Lines, to its end.
func isJSON(text []byte) error {
	values := 0
	for in := json.NewDecoder(bytes.NewReader(text)); ; values++ {
		var value any
		err := in.Decode(&value)
		switch {
		case err == io.EOF && values > 0:
			return nil
		case err == io.EOF:
			return fmt.Errorf("nothing was printed")
		case err != nil:
			return err
		}
	}
}

// tooWide lists the lines that are wider, in characters.
func tooWide(text string, columns int) (wide []string) {
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		if len([]rune(line)) > columns {
			wide = append(wide, line)
		}
	}
	return wide
}

// What demo says to try next can be done, as it stands there.
func TestDemoSaysWhatWorks(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	out, code := played(t, "demo --folder 'my demo'")
	if code != exitDone {
		t.Fatal(out)
	}
	_, next, ok := strings.Cut(out, "Try next:\n")
	if !ok {
		t.Fatalf("demo says nothing to try next:\n%s", out)
	}
	tried := 0
	for line := range strings.Lines(strings.ReplaceAll(next, "\\\n", "")) {
		line = strings.TrimSpace(line)
		if book, ok := strings.CutPrefix(line, "export SOOTLINE_BOOK="); ok {
			t.Setenv("SOOTLINE_BOOK", words(book)[0])
			continue
		}
		args, ok := strings.CutPrefix(line, "sootline ")
		if !ok || args == "serve" { // it goes on until it is stopped
			continue
		}
		if out, code := played(t, globbed(t, args)); code != exitDone {
			t.Errorf("%s ends with %d:\n%s", line, code, out)
		}
		tried++
	}
	if tried < 5 {
		t.Errorf("only %d lines were tried:\n%s", tried, next)
	}
}

// globbed puts the files in the place of words with a ?, as a shell does.
func globbed(t *testing.T, line string) string {
	var all []string
	for _, word := range words(line) {
		found := []string{word}
		if strings.ContainsAny(word, "?*") {
			var err error
			if found, err = filepath.Glob(word); err != nil || len(found) == 0 {
				t.Fatalf("%s: no file, %v", word, err)
			}
		}
		for _, f := range found {
			all = append(all, "'"+f+"'")
		}
	}
	return strings.Join(all, " ")
}
