package attack

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// A kill comes at a progress that can be seen from outside (a file grew to so many bytes, so many answers came), never
// after a time. Where a machine is so quick that a command ended before its kill, that run is not counted and done again;
// a scenario in which that always happens fails.

// killedAt starts a command, waits until reached says so, and kills it. It says whether the kill came before the end.
func killedAt(c *exec.Cmd, reached func() bool) bool {
	if err := c.Start(); err != nil {
		return false
	}
	ended := make(chan struct{})
	go func() { c.Wait(); close(ended) }()
	for {
		select {
		case <-ended:
			return false
		default:
		}
		if reached() {
			c.Process.Kill()
			<-ended
			return c.ProcessState.ExitCode() == -1
		}
	}
}

// grown says when a file has at least so many bytes.
func grown(name string, bytes int64) func() bool {
	return func() bool {
		i, err := os.Stat(name)
		return err == nil && i.Size() >= bytes
	}
}

// killing runs a scenario until it was killed n times; once returns whether its kill came in time.
func killing(t *testing.T, n int, once func(t *testing.T, r *rand.Rand) bool) {
	t.Helper()
	r, done := rand.New(rand.NewPCG(uint64(n), 2)), 0
	for tries := 0; done < n && tries < 6*n; tries++ {
		if once(t, r) {
			done++
		}
		if t.Failed() {
			return
		}
	}
	if done < n {
		t.Errorf("%d of %d kills came before the end", done, n)
	}
	t.Logf("%d kills", done)
}

// killShare is how many of the kills each of the seven scenarios gets.
func killShare() int { return atMost(5, 143) }

// filled is a folder with a book of some thousand readings, made once.
var filled = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp(filepath.Dir(program), "filled-")
	return dir, err
})

func readings(from, n int) string {
	var s strings.Builder
	s.WriteString("point,date,value\n")
	day := time.Date(2005, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := from; i < from+n; i++ {
		fmt.Fprintf(&s, "1.%03d,%s,%d\n", 1+i%3, day.AddDate(0, 0, i/3).Format(time.DateOnly), 25+i%7)
	}
	return s.String()
}

// fill gives a box a book of the mill with readings; the first makes it, the others copy it.
func fill(t *testing.T, b *box) {
	t.Helper()
	dir, err := filled()
	if err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(dir, "book.db")
	if _, err := os.Stat(kept); err != nil {
		maker := boxIn(t, dir)
		maker.mill()
		maker.must("take", maker.write("readings.csv", readings(0, 12000)), "--yes")
	}
	if err := copyFile(kept, b.book); err != nil {
		t.Fatal(err)
	}
	os.MkdirAll(b.path("data/sootline"), 0o700)
	if err := copyFile(filepath.Join(dir, "data/sootline/station"), b.path("data/sootline/station")); err != nil {
		t.Fatal(err)
	}
}

// sound is a book that lost nothing by a kill: it opens, verifies, checks, takes another note.
func (b *box) sound() {
	b.t.Helper()
	for _, args := range [][]string{{"log", "verify"}, {"book", "check"}, {"log", "add", "note", "--text", "after the kill"}} {
		if out, code := b.run(args...); code != 0 {
			b.t.Errorf("after a kill, %v: exit %d, %.300s", args, code, out)
		}
	}
}

func (b *box) reads() int { return strings.Count(b.exported("Mill"), `"kind":"read"`) }

func TestKilledTake(t *testing.T) {
	const rows = 9000
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		b := newBox(t)
		b.mill()
		file := b.write("readings.csv", readings(0, rows))
		came := killedAt(b.command("take", file, "--yes"), grown(b.book+"-wal", 1+r.Int64N(300<<10)))
		if n := b.reads(); n != 0 && n != rows {
			t.Errorf("%d of %d readings: half a take", n, rows)
		}
		b.sound()
		b.must("take", file, "--yes")
		if n := b.reads(); n != rows {
			t.Errorf("taken again: %d of %d readings", n, rows)
		}
		return came
	})
}

func TestKilledLogAdd(t *testing.T) {
	b := newBox(t)
	b.mill()
	var acknowledged []string
	said := 0
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		said++
		text := fmt.Sprintf("note-%05d", said)
		c := b.command("log", "add", "note", "--text", text)
		var out bytes.Buffer
		c.Stdout = &out
		came := killedAt(c, grown(b.book+"-wal", 1+r.Int64N(16<<10)))
		if strings.Contains(out.String(), "Added") {
			acknowledged = append(acknowledged, text)
		}
		b.holdsAll(acknowledged)
		if n := strings.Count(b.exported("Mill"), text); n > 1 {
			t.Errorf("%s is there %d times", text, n)
		}
		b.sound()
		return came
	})
}

// TestKilledHandIn kills the server after so many answers, while four phones hand in batches of three.
func TestKilledHandIn(t *testing.T) {
	b := newBox(t)
	b.mill()
	b.person("M", "manager", managerWord)
	var mu sync.Mutex
	var kept []string
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		s := b.serve()
		me := s.signIn("M", managerWord)
		site, answers, after := me.sites()["Mill"], 0, 1+r.IntN(40)
		var phones sync.WaitGroup
		var ends answer
		for range 4 {
			p := me.phone("pocket")
			phones.Go(func() {
				for {
					got, a := p.handIn(site, note("a"), note("b"), note("c"))
					mu.Lock()
					if !a.ok() {
						ends = a
						mu.Unlock()
						return
					}
					kept = append(kept, got.Kept...)
					if answers++; answers == after {
						s.cmd.Process.Kill()
					}
					mu.Unlock()
				}
			})
		}
		phones.Wait()
		s.kill()
		log, lost := b.exported("Mill"), 0
		for _, id := range kept {
			if strings.Count(log, `{"id":"`+id+`"`) != 1 {
				lost++
			}
		}
		if lost > 0 {
			t.Errorf("%d of %d entries kept are lost or doubled", lost, len(kept))
		}
		if answers < after {
			t.Errorf("after %d of %d answers: %v", answers, after, ends)
		}
		b.sound()
		return true
	})
}

func note(text string) handed {
	return handed{uuid7(time.Now()), time.Now().UnixMilli(), "", "note", map[string]any{"text": text}}
}

func TestKilledBackup(t *testing.T) {
	b := newBox(t)
	fill(t, b)
	size := fileSize(b.book)
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		to := b.path(fmt.Sprintf("backup-%s.db", uuid7(time.Now())))
		came := killedAt(b.command("book", "backup", to), grown(to+".part", 1+r.Int64N(size)))
		if _, err := os.Stat(to); err == nil {
			fresh := newBox(t)
			fresh.must("book", "restore", to)
			if n := fresh.reads(); n != 12000 {
				t.Errorf("a killed backup stands under its name and holds %d readings", n)
			}
		}
		os.Remove(to)
		b.must("book", "backup", to)
		os.Remove(to)
		b.sound()
		return came
	})
}

func TestKilledRestore(t *testing.T) {
	kept := newBox(t)
	fill(t, kept)
	kept.must("book", "backup", kept.path("kept.db"))
	size := fileSize(kept.path("kept.db"))
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		b := newBox(t)
		b.mill()
		b.must("log", "add", "note", "--text", "only in the old book")
		came := killedAt(b.command("book", "restore", kept.path("kept.db")), grown(b.book+".restored", 1+r.Int64N(size)))
		asides, _ := filepath.Glob(b.book + ".before-restore-*")
		if _, err := os.Stat(b.book); err != nil && len(asides) == 0 {
			t.Error("neither the old book nor the new one is there")
		}
		b.must("book", "restore", kept.path("kept.db"))
		if n := b.reads(); n != 12000 {
			t.Errorf("restored: %d readings", n)
		}
		b.sound()
		asides, _ = filepath.Glob(b.book + ".before-restore-*")
		if len(asides) == 0 {
			t.Error("the old book is gone")
		}
		return came
	})
}

func TestKilledIndex(t *testing.T) {
	kept := newBox(t)
	fill(t, kept)
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		b := newBox(t)
		fill(t, b)
		came := killedAt(b.command("book", "index"), grown(b.book+"-wal", 1+r.Int64N(32<<10)))
		if n := b.reads(); n != 12000 {
			t.Errorf("%d readings after a killed index", n)
		}
		b.sound()
		return came
	})
}

func fileSize(name string) int64 {
	i, err := os.Stat(name)
	if err != nil {
		return 1
	}
	return i.Size()
}

// olderProgram builds the program of the version before signed heads, whose books are migrated when they are opened.
// It needs the history of the repository.
var olderProgram = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp(filepath.Dir(program), "older-")
	if err != nil {
		return "", err
	}
	script := `git archive "$1" | tar x -C "$2" && cd "$2" && go build -o older ./cmd/sootline`
	c := exec.Command("sh", "-c", script, "sh", olderVersion, dir)
	c.Dir = "../.."
	if out, err := c.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return filepath.Join(dir, "older"), nil
})

const olderVersion = "46acfa9^1"

func TestKilledMigration(t *testing.T) {
	older, err := olderProgram()
	if err != nil {
		t.Skipf("no older program can be built here (a clone without history?): %.200v", err)
	}
	kept := newBox(t)
	for _, args := range [][]string{{"site", "add", "Mill", "--loop", "1"}, {"take", kept.write("types.csv", types), kept.write("schedule.csv",
		"loop,address,type,location\n1,1,Larch,Front\n1,2,Larch,Back\n1,3,Larch,Store\n"), kept.write("readings.csv", readings(0, 6000)), "--yes"}} {
		if out, err := kept.commandOf(older, args...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		b := newBox(t)
		if err := copyFile(kept.book, b.book); err != nil {
			t.Fatal(err)
		}
		came := killedAt(b.command("log", "verify"), grown(b.book+"-wal", 1+r.Int64N(8<<10)))
		if n := b.reads(); n != 6000 {
			t.Errorf("%d readings after a killed migration", n)
		}
		b.sound()
		return came
	})
}
