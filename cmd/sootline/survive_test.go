//go:build linux

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// The tests TestSurvives... run the real program as processes and do to it what
// happens in the field: kills, full disks, two writers, damaged files, files
// that are far too large. docs/operations.md tells what they found.

// program builds the program once, beside the test's own binary, whose folder
// `go test` removes.
var program = sync.OnceValues(func() (string, error) {
	self, err := os.Executable()
	if err != nil {
		return "", err
	}
	path := filepath.Join(filepath.Dir(self), "sootline-survives")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("build: %w\n%s", err, out)
	}
	return path, nil
})

// bench is a folder in which the program is run: a book, listings and a data
// folder of its own.
type bench struct {
	t      *testing.T
	binary string
	dir    string
	book   string
}

func newBench(t *testing.T) *bench {
	t.Helper()
	binary, err := program()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	return &bench{t, binary, dir, filepath.Join(dir, "book.db")}
}

// command prepares a run on the book.
func (b *bench) command(args ...string) *exec.Cmd {
	cmd := exec.Command(b.binary, args...)
	cmd.Dir = b.dir
	cmd.Env = append(os.Environ(), "SOOTLINE_BOOK="+b.book, "SOOTLINE_BY=A. Tech", "XDG_DATA_HOME="+filepath.Join(b.dir, "data"))
	return cmd
}

// answer is what a run gave.
type answer struct {
	args     []string
	out, err string
	code     int
	peak     int64 // bytes of memory at its largest
}

func (b *bench) run(args ...string) answer { return b.finish(b.command(args...)) }

func (b *bench) finish(cmd *exec.Cmd) answer {
	b.t.Helper()
	var out, errOut bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errOut
	err := cmd.Start()
	if err != nil {
		b.t.Fatal(err)
	}
	measured := peakOf(cmd.Process.Pid)
	err = cmd.Wait()
	if _, exited := errors.AsType[*exec.ExitError](err); err != nil && !exited && !errors.Is(err, syscall.EPIPE) {
		b.t.Fatal(err)
	}
	a := answer{cmd.Args[1:], out.String(), errOut.String(), cmd.ProcessState.ExitCode(), <-measured}
	if strings.Contains(a.err, "goroutine ") || a.code > exitCouldNot {
		b.t.Fatalf("%v crashed:\n%s", a.args, a.err)
	}
	return a
}

// peakOf watches how much memory a process takes at its largest, until it is gone.
// What the kernel says at the end (ru_maxrss) would count what this test held when
// it started the process.
func peakOf(pid int) <-chan int64 {
	peak := make(chan int64, 1)
	go func() {
		var most int64
		for {
			status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			found := highWater.FindSubmatch(status)
			if err != nil || found == nil { // gone, or a zombie
				peak <- most
				return
			}
			kB, _ := strconv.ParseInt(string(found[1]), 10, 64) // digits, by the pattern
			most = max(most, kB<<10)
			time.Sleep(2 * time.Millisecond)
		}
	}()
	return peak
}

var highWater = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// must runs and wants success.
func (b *bench) must(args ...string) answer {
	b.t.Helper()
	a := b.run(args...)
	if a.code != exitDone {
		b.t.Fatalf("%v: exit code %d\n%s%s", a.args, a.code, a.out, a.err)
	}
	return a
}

var sentence = regexp.MustCompile(`^error: [^\n]+\n(hint: [^\n]+\n)?$`)

// refused wants one sentence, perhaps a hint, and an exit code that is allowed.
func (a answer) refused(t *testing.T, codes ...int) {
	t.Helper()
	if !slices.Contains(codes, a.code) || !sentence.MatchString(a.err) {
		t.Errorf("%v: exit code %d, want %v and one sentence:\n%s", a.args, a.code, codes, a.err)
	}
}

// hinted wants a way out, too, and words in what is said.
func (a answer) hinted(t *testing.T, words string) {
	t.Helper()
	if !strings.Contains(a.err, "\nhint: ") || !strings.Contains(a.err, words) {
		t.Errorf("%v: want %q and a hint:\n%s", a.args, words, a.err)
	}
}

var verified = regexp.MustCompile(`Site Works: (\d+) lines? of`)

// sound wants the book to open, its file to be sound and its chains unbroken,
// and gives the number of lines.
func (b *bench) sound() int {
	b.t.Helper()
	check := verified.FindStringSubmatch(b.must("book", "check").out)
	verify := verified.FindStringSubmatch(b.must("log", "verify", "--site", "Works").out)
	if check == nil || !slices.Equal(check, verify) {
		b.t.Fatalf("the check says %q, verifying says %q", check, verify)
	}
	n, err := strconv.Atoi(check[1])
	if err != nil {
		b.t.Fatal(err)
	}
	return n
}

// entries gives the ids in a site's log and the stations that wrote them.
func (b *bench) entries(site string) (ids, stations map[string]bool) {
	b.t.Helper()
	ids, stations = map[string]bool{}, map[string]bool{}
	line := regexp.MustCompile(`^\{"id":"([^"]+)".*?"station":"([^"]+)"`)
	for text := range strings.Lines(b.must("log", "export", "--site", site).out) {
		said := line.FindStringSubmatch(text)
		if strings.HasPrefix(text, `{"head":`) {
			continue
		}
		if said == nil {
			b.t.Fatalf("no entry: %q", text)
		}
		ids[said[1]], stations[said[2]] = true, true
	}
	return ids, stations
}

// prepared is a bench whose book knows a site of 120 points.
func prepared(t *testing.T) *bench {
	b := newBench(t)
	b.write("types.csv", "name,kind,low,high\nLarch,optical smoke,20,40\n")
	schedule := "loop,address,type,location,fitted on\n"
	for n := 1; n <= 120; n++ {
		schedule += fmt.Sprintf("1,%d,Larch,Room %d,2020-01-10\n", n, n)
	}
	b.write("schedule.csv", schedule)
	b.must("site", "add", "Works", "--loop", "1")
	b.must("take", "types.csv", "schedule.csv", "--yes")
	return b
}

func (b *bench) write(name, text string) {
	b.t.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, name), []byte(text), 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// readings writes a listing of n readings; bad of its rows cannot be used.
func (b *bench) readings(name string, n, bad int) {
	var text strings.Builder
	text.WriteString("point,date,value\n")
	for i := range n {
		fmt.Fprintf(&text, "1.%03d,%d-%02d-%02d,%d\n", i%120+1, 2021+i/120/336, i/120/28%12+1, i/120%28+1, 20+i*7%20)
	}
	for i := range bad {
		fmt.Fprintf(&text, "1.%03d,2024-05-01,lots\n", i%120+1)
	}
	b.write(name, text.String())
}

// copyTo puts a copy of a file somewhere.
func (b *bench) copyTo(from, to string) {
	b.t.Helper()
	data, err := os.ReadFile(from)
	if err == nil {
		err = os.WriteFile(to, data, 0o644)
	}
	if err != nil {
		b.t.Fatal(err)
	}
}

// Several processes write at once, from the making of the book on.
func TestSurvivesTwoWriters(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	var all sync.WaitGroup
	for n := range 6 {
		all.Go(func() { b.acknowledged("site", "add", fmt.Sprintf("Mill %d", n)) })
	}
	all.Wait()
	writers := map[string]bool{}
	for n := range 6 {
		_, stations := b.entries(fmt.Sprintf("Mill %d", n))
		maps.Copy(writers, stations)
	}
	b.must("site", "add", "Works", "--loop", "1")
	b.write("types.csv", "name,kind,low,high\nLarch,optical smoke,20,40\n")
	b.write("schedule.csv", "loop,address,type\n1,1,Larch\n")
	b.must("take", "types.csv", "schedule.csv", "--yes", "--site", "Works")
	before, _ := b.entries("Works")
	b.write("readings.csv", "point,date,value\n"+strings.Repeat("1.001,2024-05-01,25\n", 30_000)+"1.001,2024-05-02,26\n")

	const loops, each = 4, 25
	acknowledged := make([]map[string]bool, loops)
	for n := range loops {
		acknowledged[n] = map[string]bool{}
		all.Go(func() {
			for k := range each {
				id := b.acknowledged("log", "add", "note", "--site", "Works", "--text", fmt.Sprintf("note %d of %d", k, n))
				acknowledged[n][id] = true
			}
		})
	}
	all.Go(func() { b.acknowledged("take", "readings.csv", "--yes", "--site", "Works") })
	all.Wait()
	ids, stations := b.entries("Works")
	for n, noted := range acknowledged {
		if len(noted) != each {
			t.Errorf("loop %d was acknowledged %d entries, want %d", n, len(noted), each)
		}
		for id := range noted {
			if !ids[id] {
				t.Errorf("entry %s was acknowledged and is not there", id)
			}
		}
	}
	if want := len(before) + loops*each + 3; len(ids) != want || b.sound() != want {
		t.Errorf("the log has %d entries, want %d", len(ids), want)
	}
	if maps.Copy(writers, stations); len(writers) != 1 {
		t.Errorf("one computer wrote as the stations %v", slices.Collect(maps.Keys(writers)))
	}
}

var added = regexp.MustCompile(`^Added: .*, as entry (\S+)\.\n$`)

// acknowledged runs a command that must succeed and gives the id of the entry
// that it says it added. It may be called beside others.
func (b *bench) acknowledged(args ...string) (id string) {
	a := b.run(args...)
	if a.code != exitDone {
		b.t.Errorf("%v: exit code %d\n%s", a.args, a.code, a.err)
	}
	if said := added.FindStringSubmatch(a.out); said != nil {
		return said[1]
	}
	return ""
}

// A station file that a full disk left empty is written again, once.
func TestSurvivesEmptyStation(t *testing.T) {
	b := newBench(t)
	if err := os.MkdirAll(filepath.Join(b.dir, "data", "sootline"), 0o755); err != nil {
		t.Fatal(err)
	}
	b.write("data/sootline/station", "")
	b.must("site", "add", "Works")
	b.must("log", "add", "note", "--text", "one")
	if _, stations := b.entries("Works"); len(stations) != 1 {
		t.Errorf("the computer wrote as %d stations", len(stations))
	}
}

// An interrupted take (Ctrl-C) is told of, and takes nothing in.
func TestSurvivesInterrupt(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	b := prepared(t)
	before := b.sound()
	b.readings("big.csv", 5000, 3)
	var out bytes.Buffer
	code := run(ctx, []string{"--book", b.book, "take", filepath.Join(b.dir, "big.csv"), "--yes"}, strings.NewReader(""), &out, &out)
	if code != exitCouldNot {
		t.Errorf("exit code %d:\n%s", code, &out)
	}
	if got := b.sound(); got != before {
		t.Errorf("the log has %d lines, want the %d from before", got, before)
	}
}
