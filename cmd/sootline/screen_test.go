package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"sootline"
)

// A screen shows what stored text would do to it, however the text is cut into writes.
func TestScreen(t *testing.T) {
	const text = "Mühle\x1b]0;gone\a 東京\n\xff\u009b2J"
	const want = `Mühle\x1b]0;gone\x07 東京` + "\n" + `\xff\x9b2J`
	for size := 1; size < len(text); size++ {
		var shown bytes.Buffer
		s := onScreen(&shown)
		for at := 0; at < len(text); at += size {
			part := text[at:min(at+size, len(text))]
			if n, err := s.Write([]byte(part)); n != len(part) || err != nil {
				t.Fatal(n, err)
			}
		}
		if shown.String() != want {
			t.Errorf("in pieces of %d: %q", size, shown.String())
		}
	}
}

// What ends in the middle of a character is shown, and nothing of it is lost.
func TestScreenEnds(t *testing.T) {
	var shown bytes.Buffer
	s := onScreen(&shown)
	if _, err := s.Write([]byte("M\xc3")); err != nil {
		t.Fatal(err)
	}
	if err := s.end(); err != nil || shown.String() != `M\xc3` {
		t.Errorf("%q, %v", shown.String(), err)
	}
}

// steering is what moves a terminal: escapes, C1, a bell, directions, and half a character.
const steering = "\x1b[2J\x1b]0;owned\x07\u009b31m\u202egnp\u2066\r\x08\x7f"

// No output for people carries what was stored to steer a terminal, wherever it goes;
// JSON says the same escaped, and CSV and exports hold every byte.
func TestOutputsCarryNoSteering(t *testing.T) {
	b := newBench(t)
	b.must("site", "add", "Mill", "--loop", "1")
	b.write("schedule.csv", "loop,address,type,location\n1,1,Larch,Fro\u009b31m\u202egnp\u2066nt\n")
	b.write("types.csv", "name,kind,low,high\nLarch,optical smoke,20,40\n")
	b.must("take", "types.csv", "schedule.csv", "--yes")
	b.must("log", "add", "note", "--text", "say "+steering)
	b.must("log", "add", "disabled", "--point", "1.001", "--text", steering)
	moves := func(text string) int { return strings.IndexFunc(text, sootline.Steers) }
	for _, args := range [][]string{
		{"log"},
		{"check"},
		{"judge"},
		{"site", "show"},
		{"visit", "due", "--full"},
		{"log", "verify"},
		{"take", "schedule.csv", "--dry-run"},
		{"check", "--json"},
		{"judge", "--json"},
		{"log", "--point", "say" + steering},
		{"no" + steering},
		{"log", "--" + steering},
	} {
		a := b.run(args...)
		if text := a.out + a.err; moves(text) >= 0 || !utf8.ValidString(text) {
			t.Errorf("%q: %q", args, text)
		}
	}
	if out := b.must("log").out; !strings.Contains(out, `say \x1b[2J`) {
		t.Errorf("the note is not shown with its codes: %q", out)
	}
	if export := b.must("log", "export").out; !strings.Contains(export, "\u202e") || strings.Contains(export, `\u202e`) {
		t.Errorf("an export is not what the log holds: %q", export)
	}
}

// JSON that is escaped says what was said.
func TestEscapedSaysTheSame(t *testing.T) {
	var text bytes.Buffer
	if err := printJSON(onScreen(&text), map[string]string{"text": steering}); err != nil {
		t.Fatal(err)
	}
	var got map[string]string
	if err := json.Unmarshal(text.Bytes(), &got); err != nil || got["text"] != steering || strings.IndexFunc(text.String(), sootline.Steers) >= 0 {
		t.Errorf("%q, %v: %q", got["text"], err, text.String())
	}
	text.Reset()
	if err := printCSV(onScreen(&text), []string{"text"}, [][]string{{steering}}); err != nil || !strings.Contains(text.String(), "\u202egnp") {
		t.Errorf("%v: %q", err, text.String())
	}
}

// A heading is bold on a terminal; with NO_COLOR nothing but text goes there, and elsewhere never.
func TestHeadings(t *testing.T) {
	for _, c := range []struct {
		forced, noColor string
		bold            bool
	}{{"", "", false}, {"1", "", true}, {"1", "1", false}} {
		t.Setenv("TTY_FORCE", c.forced) // as if it were a terminal
		t.Setenv("TERM", "xterm-256color")
		t.Setenv("NO_COLOR", c.noColor)
		var shown bytes.Buffer
		(&session{out: onScreen(&shown)}).bold("figures")
		if got := strings.Contains(shown.String(), "\x1b["); got != c.bold || !strings.Contains(shown.String(), "figures") {
			t.Errorf("TTY_FORCE=%q NO_COLOR=%q shows %q", c.forced, c.noColor, shown.String())
		}
	}
}
