package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// bench120 makes a book with a loop of 120 places whose numbers are wanted, and a list
// of the box.
func bench120(t *testing.T) (book, box string) {
	t.Helper()
	folder := t.TempDir()
	t.Setenv("SOOTLINE_BY", "A. Tech")
	t.Setenv("XDG_DATA_HOME", folder)
	types := "name,kind,low,high,noise,settings\nLarch,optical smoke,20,40,0.5,address=switches 7\n"
	schedule, list := "loop,address,type,location\n", "serial,type\n"
	for i := 1; i <= 120; i++ {
		schedule += fmt.Sprintf("1,127,Larch,Room %d\n", i)
		list += fmt.Sprintf("S%03d,Larch\n", i)
	}
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	book, box = filepath.Join(folder, "book.db"), write("box.csv", list)
	must := func(args ...string) {
		if code, out := benchCommandLine("", append(args, "--book", book)...); code != exitDone {
			t.Fatalf("%v: exit code %d\n%s", args, code, out)
		}
	}
	must("site", "add", "Works", "--loop", "1")
	must("take", write("types.csv", types), write("schedule.csv", schedule), "--yes")
	return book, box
}

func benchCommandLine(in string, args ...string) (int, string) {
	var out, told bytes.Buffer
	code := run(context.Background(), args, strings.NewReader(in), &out, &told)
	return code, out.String() + told.String()
}

// A whole run of 120 devices in the terminal: listed at 127, numbered by the run, two
// leave and come back, one place skipped, one device rejected, one taken back; then
// the register is as set, and nothing is left.
func TestBenchOf120(t *testing.T) {
	book, box := bench120(t)
	do := func(want int, in string, args ...string) string {
		t.Helper()
		code, out := benchCommandLine(in, append(args, "--book", book)...)
		if code != want {
			t.Fatalf("%v: exit code %d, want %d\n%s", args, code, want, out)
		}
		for line := range strings.Lines(out) {
			if n := len([]rune(strings.TrimRight(line, "\n"))); n > benchWidth && args[0] == "bench" && code == exitDone {
				t.Errorf("%v: a line of %d columns: %s", args, n, line)
			}
		}
		return out
	}
	if out := do(exitDone, "", "bench", "begin", "--name", "loop 1", "--box", box); !strings.Contains(out, "120 places, 120 devices in the box") {
		t.Fatal(out)
	}
	device := func(i, number int) string {
		return fmt.Sprintf("S%03d\n%d\n30 30.5 30\n\n", i, number)
	}
	var first strings.Builder
	for i := 1; i <= 60; i++ {
		first.WriteString(device(i, i))
	}
	first.WriteString("skip no base yet\nreject cracked\nS062\nleave\n")
	began := time.Now()
	if out := do(exitDone, first.String(), "bench", "run"); !strings.Contains(out, "60 of 120 places done, 1 skipped, 1 device rejected") {
		t.Fatal(out[max(0, len(out)-1500):])
	}
	// Another one takes the rest from the back, while the first comes back.
	var back strings.Builder
	for i := 120; i > 100; i-- {
		back.WriteString(device(i, i))
	}
	do(exitDone, back.String()+"leave\n", "bench", "run", "--from-back", "--by", "B. Tech")
	if out := do(exitUsage, "", "bench", "done", "--serial", "S063", "--read", "62", "--value", "55 55 55"); !strings.Contains(out, "above the band") {
		t.Fatal(out)
	}
	do(exitDone, "", "bench", "done", "--serial", "S063", "--read", "62", "--value", "55 55 55", "--sure")
	if out := do(exitCouldNot, "", "bench", "done", "--serial", "s 063", "--read", "63"); !strings.Contains(out, "was set for 1.1.062 already") {
		t.Fatal(out)
	}
	if out := do(exitDone, "", "bench", "undo"); !strings.Contains(out, "serial S063") {
		t.Fatal(out)
	}
	var rest strings.Builder
	for number := 62; number <= 100; number++ {
		serial := number + 1
		if number == 100 {
			serial = 61
		}
		rest.WriteString(device(serial, number))
	}
	rest.WriteString("S999\ny\n61\n30 30 30\n\n") // the skipped one, with a device that is not on the list
	out := do(exitDone, rest.String(), "bench", "run")
	if !strings.Contains(out, "is not on the list of the box") || !strings.Contains(out, "Every place of loop 1 has its device") {
		t.Fatal(out[max(0, len(out)-1500):])
	}
	t.Logf("120 devices typed in %s", time.Since(began))
	left := do(exitDone, "", "bench", "left")
	if !strings.Contains(left, "left (1)") || !strings.Contains(left, "device S062 was rejected: cracked") {
		t.Error(left)
	}
	if out := do(exitDone, "", "bench", "end"); !strings.Contains(out, "120 of 120 places done") {
		t.Error(out)
	}
	if out := do(exitDone, "", "address", "order"); !strings.Contains(out, "0 devices move") {
		t.Error(out)
	}
}
