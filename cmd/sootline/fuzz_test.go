package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/fuzzing"
	"sootline/internal/store"
)

// FuzzFlags: what is typed behind flags is understood or refused in a sentence.
func FuzzFlags(f *testing.F) {
	for _, text := range []string{"1.2=1-99/0", "sounders=8x0/16", "bell 4 from bell 2=15:0/25:16", "1/2/3", "10.1.0.0/16", "2026-01-15", "01890a5d-ac96-774b-bcce-b302099a8057", "true", ".=", "fe80::1%eth0"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			loop, err := parseLoop(text)
			if err == nil && (loop.Loop == "" || loop.Panel == "" || loop.First > loop.Last) {
				t.Fatalf("%q is the loop %+v", text, loop)
			}
			id, err := parseLoopID(text)
			if arg, bad := loopArg([]string{text}); (bad == nil) != (err == nil) || err == nil && arg != id.Panel+"."+id.Name {
				t.Fatalf("%q is %v (%v) and %q (%v)", text, id, err, arg, bad)
			}
			for n := 1; n < 4; n++ {
				if x, err := figures(text, n, "1/2"); err == nil && len(x) != n {
					t.Fatalf("%q is %v", text, x)
				}
			}
			if at, err := entryID(text); err == nil && at.String() != text {
				t.Fatalf("%q is %v", text, at)
			}
			parseLoad(text)                              //nolint:errcheck // that it ends is what is asked
			parseRadialDevice(text)                      //nolint:errcheck // as above
			proxiesOf(strings.Fields(text))              //nolint:errcheck // as above
			chosenSets(strings.Fields(text))             //nolint:errcheck // as above
			day(text, time.UTC)                          //nolint:errcheck // as above
			paperFile("visit", paperFlags{format: text}) //nolint:errcheck // as above
			paperFile("visit", paperFlags{out: text})    //nolint:errcheck // as above
			for _, said := range []*saidFlag{{flag: true}, {}} {
				if err := said.Set(text); err == nil {
					said.parts(sootline.Field{Input: sootline.SettingsInput})
				}
			}
			flags := pflag.NewFlagSet("", pflag.ContinueOnError)
			flags.String("name", "", "")
			onceEach(flags)
			once := &onceFlag{Value: flags.Lookup("name").Value, name: "name"}
			for _, again := range []string{text, text, text + "x"} {
				if err := once.Set(again); (err == nil) != (again == text) {
					t.Fatalf("%q after %q: %v", again, text, err)
				}
			}
			if flags.Set("name", text) == nil && flags.Set("name", text+"x") == nil {
				t.Fatalf("another one after %q is taken", text)
			}
		})
	})
}

// FuzzScreen: in whatever pieces text comes to a terminal, it shows as it would whole,
// and nothing steers.
func FuzzScreen(f *testing.F) {
	f.Add([]byte("a\x1b[2J\u202eb\xff\xe2\x82"), byte(2))
	f.Fuzz(func(t *testing.T, text []byte, n byte) {
		fuzzing.Within(t, len(text), func() {
			var shown bytes.Buffer
			s := &screen{w: &shown}
			for rest := text; len(rest) > 0; {
				piece := rest[:min(len(rest), 1+int(n))]
				if wrote, err := s.Write(piece); err != nil || wrote != len(piece) {
					t.Fatal(wrote, err)
				}
				rest = rest[len(piece):]
			}
			if whole := sootline.Shown(string(text[:len(text)-len(s.rest)])); shown.String() != whole {
				t.Fatalf("%q shows as %q, whole as %q", text, shown.String(), whole)
			}
		})
	})
}

// FuzzFiles: any content of a file that a command is given by name is understood, or
// refused in words.
func FuzzFiles(f *testing.F) {
	f.Add([]byte(`{"name": "Beacon", "address": ["1 Mill Lane"], "phone": "0"}`))
	f.Add([]byte(`{"rules": []}`))
	f.Add([]byte(`{"kind": "readings"}`))
	f.Add([]byte(`{"points": [{"name": "1.001"}]}`))
	made, err := makeAuthority(filepath.Join(f.TempDir(), "authority.pem"), lanNames{name: "works"}, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
	if err != nil || made == nil {
		f.Fatal(err)
	}
	path := filepath.Join(f.TempDir(), "file")
	f.Fuzz(func(t *testing.T, content []byte) {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		fuzzing.Within(t, len(content), func() {
			for _, read := range []func() error{
				func() error { _, err := readFirm(path); return err },
				func() error { _, err := readProfiles(path); return err },
				func() error { _, err := readService(path); return err },
				func() error { _, err := readLoopFile(path); return err },
				func() error { _, err := app.ReadLoopFile(bytes.NewReader(content)); return err },
				func() error { _, err := readAuthority(content); return err },
			} {
				if err := read(); err != nil && err.Error() == "" {
					t.Fatal("an error without words")
				}
			}
		})
	})
}

// benchWorld is a book with a run at the bench: the next numbers of a loop.
func benchWorld(t testing.TB) (*app.App, store.SiteLine) {
	t.Helper()
	ctx := context.Background()
	book, err := store.Open(ctx, filepath.Join(t.TempDir(), "book.db"), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { book.Close() }) //nolint:errcheck // it was the test's own
	a := &app.App{Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: "laptop"}, Now: now, Random: random}
	id, err := a.AddSite(ctx, app.NewSite{Name: "Works"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.AddEntry(ctx, id, app.Note{Body: sootline.LoopFacts{Panel: "1", Loop: "1", First: 1, Last: 9, Unset: 127}}); err != nil {
		t.Fatal(err)
	}
	site := store.SiteLine{ID: id, Name: "Works"}
	if _, err := a.OpenBench(ctx, site, app.BenchOpening{Empty: true, Loop: "1"}); err != nil {
		t.Fatal(err)
	}
	return a, site
}

// FuzzTalk: whatever is typed into the dialogue of the bench, it comes to an end, and
// trouble of one device is told in words.
func FuzzTalk(f *testing.F) {
	f.Add("S1\n1\n30 30\n\nskip x\nundo\nleft\nleave\n")
	f.Add("type Larch\nreject\nS2\nwhy\nnew\nS2\n300000\n7\nx\n\ny\n")
	f.Add("S1\n127\n\nn\n?\n")
	f.Fuzz(func(t *testing.T, typed string) {
		a, site := benchWorld(t)
		var out bytes.Buffer
		cmd := &cobra.Command{}
		cmd.SetContext(context.Background())
		talk := talk{session: &session{in: strings.NewReader(typed), out: onScreen(&out), err: &out}, cmd: cmd, a: a, site: site}
		if err := talk.through(); err != nil {
			t.Fatalf("%q ends the dialogue: %v", typed, err)
		}
	})
}
