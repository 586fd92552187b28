package main

import (
	"strings"
	"testing"
)

// What was typed is kept when something is asked anew; what is to be said comes at
// once; words are taken at every question; a number is one number.
func TestBenchTalkKeepsAnswers(t *testing.T) {
	book, box := bench120(t)
	do := func(in string, args ...string) string {
		t.Helper()
		code, out := benchCommandLine(in, append(args, "--book", book)...)
		if code != exitDone {
			t.Fatalf("%v: exit code %d\n%s", args, code, out)
		}
		return out
	}
	has := func(out string, in ...string) {
		t.Helper()
		rest := out
		for _, text := range in {
			_, after, ok := strings.Cut(rest, text)
			if !ok {
				t.Fatalf("%q does not come in its turn:\n%s", text, out)
			}
			rest = after
		}
	}
	do("", "bench", "begin", "--name", "hall", "--box", box)
	// A serial that is not on the list is asked about before anything else is; samples
	// one question early are no number; N asks which answer is given anew.
	out := do("S999\nn\nS001\n1 5\n30 30 30\n1\n90 90 90\n\nn\nvalue\n30 30 30\n\nleave\n", "bench", "run")
	has(out, "is not on the list of the box", "go on all the same?", `"1 5" is not one number`, `"30 30 30" is not one number`,
		"90 is above the band", "write it all the same?", "Not written.", "which answer is given anew", "Set: 1.1.001 S001", "value 30, inside")
	// A serial that was seen is refused at its own question, a number taken at its own.
	out = do("S001\nS002\n1\n2\n30 30 30\n\nleave\n", "bench", "run")
	has(out, "was set for 1.1.001 already", "serial (empty: S001 stays): S002", "number 1 is set already on 1.1.001", "Set: 1.1.002 S002")
	// Words at every question.
	out = do("S003\n3\nleft\n30 30 30\nback\n3\nundo\nundo\ny\nskip no base\nS004\nleave\n", "bench", "run")
	has(out, "left (", "samples (empty: no more): back", "number read back (empty: 3 stays): 3", "3 samples so far", "Taken back: 1.1.002, Room 2, done, serial S002",
		"take back 1.1.001, Room 1, done, serial S001", "Taken back: 1.1.001", "Skipped; it comes again at the end", "What was typed of the device in hand is not written")
	if out := do("", "bench", "show"); !strings.Contains(out, "0 of 120 places done, 1 skipped") {
		t.Error(out)
	}
}

// What was written has no look left to wait for, and a device of the box that waits
// for its turn went nowhere yet.
func TestBenchWordsOfARun(t *testing.T) {
	book, box := bench120(t)
	do := func(args ...string) string {
		t.Helper()
		code, out := benchCommandLine("", append(args, "--book", book)...)
		if code != exitDone {
			t.Fatalf("%v: exit code %d\n%s", args, code, out)
		}
		return out
	}
	do("bench", "begin", "--box", box)
	if out := do("bench", "look", "--serial", "S001", "--read", "1", "--value", "30 30 30", "--seconds", "60"); !strings.Contains(out, "look for 2 min more") {
		t.Error(out)
	}
	if out := do("bench", "done", "--serial", "S001", "--read", "1", "--value", "30 30 30", "--seconds", "60"); strings.Contains(out, "look for") {
		t.Error(out)
	}
	if out := do("bench", "left"); !strings.Contains(out, "device S002 of the box is not set yet") || strings.Contains(out, "went nowhere") {
		t.Error(out)
	}
	do("bench", "end", "--sure")
	if out := do("bench", "left", "--run", "run of "+titleDay(t, do("bench"))); !strings.Contains(out, "device S002 of the box was not set in this run") {
		t.Error(out)
	}
}

// titleDay reads from the list of runs when the only one began.
func titleDay(t *testing.T, list string) string {
	t.Helper()
	line, _, _ := strings.Cut(list, "\n")
	day, ok := strings.CutPrefix(line, "run of ")
	if !ok {
		t.Fatal(list)
	}
	return day
}
