package attack

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// program is the built binary that is attacked.
var program string

// long: a thousand orders and kills instead of some dozens.
var long = os.Getenv("SOOTLINE_ATTACK") == "long"

func TestMain(m *testing.M) {
	if os.Getenv("SOOTLINE_ATTACK") == "" {
		fmt.Println("attacks run when asked for, with make attack: some of them still succeed")
		os.Exit(0)
	}
	os.Exit(func() int {
		if program = os.Getenv("SOOTLINE_BINARY"); program != "" {
			return m.Run()
		}
		dir, err := os.MkdirTemp("", "sootline-attack-")
		if err != nil {
			panic(err)
		}
		defer os.RemoveAll(dir)
		program = filepath.Join(dir, "sootline")
		if out, err := exec.Command("go", "build", "-o", program, "../../cmd/sootline").CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "build: %v\n%s", err, out)
			return 1
		}
		return m.Run()
	}())
}

// box is one computer: a data folder (which names the station), a book, a folder for passing files.
type box struct {
	t    testing.TB
	dir  string
	book string
	env  []string
}

func newBox(t testing.TB) *box {
	t.Helper()
	return boxIn(t, t.TempDir())
}

func boxIn(t testing.TB, dir string) *box {
	b := &box{t: t, dir: dir, book: filepath.Join(dir, "book.db")}
	for _, d := range []string{"data", "tmp"} {
		if err := os.MkdirAll(filepath.Join(dir, d), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func (b *box) path(name string) string { return filepath.Join(b.dir, name) }

func (b *box) command(args ...string) *exec.Cmd {
	return b.commandOf(program, args...)
}

func (b *box) commandOf(binary string, args ...string) *exec.Cmd {
	c := exec.Command(binary, args...)
	c.Dir = b.dir
	c.Env = append(os.Environ(), "SOOTLINE_BOOK="+b.book, "XDG_DATA_HOME="+b.path("data"), "SOOTLINE_BY=A. Tech",
		"TMPDIR="+b.path("tmp"), "SOOTLINE_NOW=")
	c.Env = append(c.Env, b.env...)
	return c
}

// run runs a command to its end and returns both outputs and the exit code.
func (b *box) run(args ...string) (string, int) {
	b.t.Helper()
	out, err := b.command(args...).CombinedOutput()
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		return string(out), exit.ExitCode()
	case err != nil:
		b.t.Fatal(err)
	}
	return string(out), 0
}

// must is run that has to end with 0.
func (b *box) must(args ...string) string {
	b.t.Helper()
	out, code := b.run(args...)
	if code != 0 {
		b.t.Fatalf("sootline %s: exit %d\n%s", strings.Join(args, " "), code, out)
	}
	return out
}

// at sets the program's clock for what follows; the zero time gives it back its own.
func (b *box) at(now time.Time) {
	b.env = nil
	if !now.IsZero() {
		b.env = []string{"SOOTLINE_NOW=" + now.UTC().Format(time.RFC3339Nano)}
	}
}

func (b *box) write(name, content string) string {
	b.t.Helper()
	if err := os.WriteFile(b.path(name), []byte(content), 0o600); err != nil {
		b.t.Fatal(err)
	}
	return b.path(name)
}

const types = "name,kind,low,high\nLarch,optical smoke,20,40\n"

// mill makes a site with a type sheet and three points.
func (b *box) mill() {
	b.t.Helper()
	b.must("site", "add", "Mill", "--loop", "1")
	b.must("take", b.write("types.csv", types),
		b.write("schedule.csv", "loop,address,type,location\n1,1,Larch,Front\n1,2,Larch,Back\n1,3,Larch,Store\n"), "--yes")
}

// exported is the log of a site as lines.
func (b *box) exported(site string) string {
	b.t.Helper()
	name := b.path("exported.jsonl")
	os.Remove(name)
	b.must("log", "export", name, "--site", site)
	text, err := os.ReadFile(name)
	if err != nil {
		b.t.Fatal(err)
	}
	return string(text)
}

// server is a running `serve` of a box.
type server struct {
	*box
	cmd  *exec.Cmd
	base string
	log  *bytes.Buffer
	done chan struct{}
}

// serve starts the server, with more flags where there are any, and waits for its line.
func (b *box) serve(more ...string) *server {
	b.t.Helper()
	return b.serveBy(program, more...)
}

func (b *box) serveBy(binary string, more ...string) *server {
	b.t.Helper()
	c := b.commandOf(binary, append([]string{"serve", "--listen", "127.0.0.1:0"}, more...)...)
	s := &server{box: b, cmd: c, log: &bytes.Buffer{}, done: make(chan struct{})}
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		b.t.Fatal(err)
	}
	s.cmd.Stderr = s.log
	if err := s.cmd.Start(); err != nil {
		b.t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	for s.base == "" {
		line, err := lines.ReadString('\n')
		if err != nil {
			s.cmd.Wait()
			b.t.Fatalf("serve ended: %v\n%s%s", err, line, s.log)
		}
		if i := strings.Index(line, "http://"); i >= 0 {
			s.base = strings.TrimRight(strings.Fields(line[i:])[0], "/")
		}
	}
	go func() { s.cmd.Wait(); close(s.done) }()
	b.t.Cleanup(s.kill)
	return s
}

func (s *server) kill() { s.cmd.Process.Kill(); <-s.done }

// stop ends the server as Ctrl-C does.
func (s *server) stop() {
	s.cmd.Process.Signal(syscall.SIGTERM)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	select {
	case <-s.done:
	case <-ctx.Done():
		s.t.Error("told to stop, the server goes on after 20 s")
		s.kill()
	}
}

// peak is VmHWM, the most memory that the process ever held, in bytes.
func (s *server) peak() int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	if err != nil {
		s.t.Skip("no /proc here")
	}
	for line := range strings.Lines(string(text)) {
		if f := strings.Fields(line); len(f) > 1 && f[0] == "VmHWM:" {
			n, _ := strconv.ParseInt(f[1], 10, 64)
			return n << 10
		}
	}
	s.t.Fatal("no VmHWM")
	return 0
}

// needs skips a scenario where a command, or a flag of it, is not there yet.
func (b *box) needs(command string, flags ...string) {
	b.t.Helper()
	help, _ := b.run(append(strings.Fields(command), "--help")...)
	if !strings.Contains(help, "sootline "+command) {
		b.t.Skipf("no way to do it found: sootline %s", command)
	}
	help, _, _ = strings.Cut(help, "Global Flags:")
	for _, f := range flags {
		if !strings.Contains(help, f+" ") {
			b.t.Skipf("no way to do it found: sootline %s %s", command, f)
		}
	}
}

// soon waits until something is so.
func soon(within time.Duration, so func() bool) bool {
	for until := time.Now().Add(within); time.Now().Before(until); time.Sleep(50 * time.Millisecond) {
		if so() {
			return true
		}
	}
	return so()
}

func atMost(shortly, wholly int) int {
	if long {
		return wholly
	}
	return shortly
}
