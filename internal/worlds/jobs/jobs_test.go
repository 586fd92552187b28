package jobs_test

import (
	"context"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline/internal/worlds/jobs"
)

var update = flag.Bool("update", false, "write testdata/stumbles.txt anew, from what this run stumbled over")

// points is how many a large site has; SOOTLINE_LONG=1 makes it the long form.
func points() int {
	if os.Getenv("SOOTLINE_LONG") != "" {
		return 100_000
	}
	return 5_000
}

// needBrowser skips where no browser is asked for, as the tests of the pages do.
func needBrowser(t *testing.T) {
	t.Helper()
	if os.Getenv("SOOTLINE_BROWSER") == "" {
		t.Skip("SOOTLINE_BROWSER=1 plays the jobs in a browser")
	}
}

// program builds the program once.
func program(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "program")
	if out, err := exec.Command("go", "build", "-o", path, "sootline/cmd/sootline").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return path
}

// browser starts Chromium; each job opens a tab in it.
func browser(t *testing.T) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true))
	ctx, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	return ctx
}

// filledBook makes a book of two sites, the first with n points.
func filledBook(t *testing.T, program string, n int) *book {
	t.Helper()
	filled := &book{program: program, folder: t.TempDir(), file: "book.db"}
	other := t.TempDir()
	files, err := jobs.Listing(t.TempDir(), n, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	small, err := jobs.Listing(other, 3, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) {
		t.Helper()
		if err := filled.run(args...); err != nil {
			t.Fatal(err)
		}
	}
	run("site", "add", jobs.SiteName, "--loop", "1", "--loop", "2")
	run("site", "add", jobs.SecondSite, "--loop", "1")
	run("take", files[0], files[1], files[2], "--yes", "--site", jobs.SiteName)
	run("take", small[0], small[1], "--yes", "--site", jobs.SecondSite)
	return filled
}

// pictures is where the screens go that somebody stumbled over; git ignores it.
func pictures(t *testing.T) string {
	t.Helper()
	const folder = "../../../build/screens/jobs"
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	return folder
}

// play plays a job in one way, on a copy of a book, in a tab of its own.
func play(t *testing.T, ctx context.Context, from *book, way jobs.Way, job jobs.Job) jobs.Played {
	t.Helper()
	copied, err := from.copy(filepath.Join(t.TempDir(), "book"))
	if err != nil {
		t.Fatal(err)
	}
	address, err := copied.serve()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = copied.stop() }) // how it ends says nothing of the pages
	tab, closing, err := jobs.OpenTab(ctx, address, way)
	if err != nil {
		t.Fatal(err)
	}
	defer closing()
	played, err := jobs.Play(&jobs.Person{Tab: tab, Way: way, Book: copied, Pictures: pictures(t)}, job)
	if err != nil {
		t.Fatal(err)
	}
	return played
}

// ways are those in which jobs are played: on the desk and on a phone with -short, else all.
func ways() []jobs.Way {
	if testing.Short() {
		return jobs.Ways[:2]
	}
	return jobs.Ways
}

// TestJobs plays every job in every way, and holds the stumbles against those that are known.
func TestJobs(t *testing.T) {
	needBrowser(t)
	path, ctx := program(t), browser(t)
	files, err := jobs.Listing(t.TempDir(), 150, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	empty := &book{program: path, folder: t.TempDir(), file: "book.db"}
	small, large := filledBook(t, path, 150), filledBook(t, path, points())
	var all []jobs.Played
	for _, way := range ways() {
		for _, one := range []struct {
			book *book
			job  jobs.Job
		}{{empty, jobs.Begin(files)}, {small, jobs.Change()}, {large, jobs.Find(points())}, {small, jobs.Firm()}} {
			if only := os.Getenv("SOOTLINE_JOB"); only == "" || strings.HasPrefix(one.job.Name+" | "+way.Name, only) {
				all = append(all, play(t, ctx, one.book, way, one.job))
			}
		}
	}
	t.Log("\n" + jobs.Report(all))
	for _, played := range all {
		for _, s := range played.Stumbles {
			if s.Step == jobs.LeftServer {
				t.Errorf("%s, %s: %s: %s", played.Job, played.Way, s.Step, s.Instead)
			}
		}
	}
	if os.Getenv("SOOTLINE_JOB") == "" {
		var keys []string
		for _, played := range all {
			for _, s := range played.Stumbles {
				keys = append(keys, s.Key())
			}
		}
		against(t, "testdata/stumbles.txt", keys)
	}
}

// against holds what was found against a list of what is known: a new line fails, and so does one that did not come,
// so that the list shrinks with what is mended. With -short not all is played, and only what is new fails.
func against(t *testing.T, path string, found []string) {
	t.Helper()
	slices.Sort(found)
	found = slices.Compact(found)
	if *update {
		if err := os.WriteFile(path, []byte(strings.Join(append(found, ""), "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	known := strings.Split(strings.TrimSpace(string(text)), "\n")
	for _, line := range found {
		if !slices.Contains(known, line) {
			t.Errorf("new: %s", line)
		}
	}
	for _, line := range known {
		if line != "" && !testing.Short() && !slices.Contains(found, line) {
			t.Errorf("mended, take it off %s: %s", path, line)
		}
	}
}
