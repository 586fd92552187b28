package web

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// smallDisk mounts a disk that is soon full, for what a phone keeps.
func smallDisk(t *testing.T) string {
	t.Helper()
	needBrowser(t)
	disk := t.TempDir()
	if err := syscall.Mount("sootline-test", disk, "tmpfs", 0, "size=300m"); err != nil {
		t.Skipf("a small disk cannot be mounted here (it needs root): %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(disk, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return disk
}

// TestPhoneFull fills the disk on which the phone keeps things: it is said, nothing
// is claimed to be kept, what was typed is still there, and with room again the same
// button keeps it.
func TestPhoneFull(t *testing.T) {
	disk := smallDisk(t)
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	ctx, _ := startPhone(t, filepath.Join(disk, "phone"))
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	server.stop()
	captureReadings(t, ctx, 2, 1)
	filler := filepath.Join(disk, "filler")
	fill(t, filler)
	const write = `(() => { const w = document.getElementById("write"); w.click(); if (!document.getElementById("again").hidden) w.click(); })()`
	run[any](t, ctx, `(() => { for (const k of "25") document.querySelector('#pad [data-key="' + k + '"]').click(); })()`)
	for range 100 { // the browser may have some bytes of its own in hand
		run[any](t, ctx, write)
		time.Sleep(50 * time.Millisecond)
		if run[bool](t, ctx, `document.getElementById("trouble").textContent.startsWith("This was NOT kept")`) {
			break
		}
		if run[bool](t, ctx, `document.querySelector(".slot .value").textContent === "▏"`) { // kept all the same
			fill(t, filler)
			run[any](t, ctx, `(() => { for (const k of "25") document.querySelector('#pad [data-key="' + k + '"]').click(); })()`)
		}
	}
	until(t, ctx, `document.getElementById("trouble").textContent.startsWith("This was NOT kept: the storage of this phone is full")`)
	if shown := run[string](t, ctx, `document.querySelector(".slot .value").textContent`); !strings.Contains(shown, "25") {
		t.Errorf("what was typed is gone: %q", shown)
	}
	claimed := run[string](t, ctx, `document.getElementById("kept").dataset.open`)
	keep(t, ctx, "capture-full")
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if held := run[string](t, ctx, `VisitStore.all("entries").then(all => String(all.filter(e => e.state === 0).length))`); held != claimed {
		t.Errorf("the page claims that %s entries are kept, and there are %s", claimed, held)
	}
	run[any](t, ctx, write)
	until(t, ctx, `Number(document.getElementById("kept").dataset.open) === `+claimed+` + 1`)
}

// fill writes to a file until its disk is full.
func fill(t *testing.T, path string) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	block := make([]byte, 4096)
	for err == nil {
		_, err = f.Write(block)
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
}
