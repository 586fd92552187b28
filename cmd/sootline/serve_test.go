package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"
)

// TestServe starts the web application as people do, asks it, and stops it.
func TestServe(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	book := filepath.Join(t.TempDir(), "book.db")
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, in := io.Pipe()
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"serve", "--book", book, "--listen", "127.0.0.1:0"}, os.Stdin, in, io.Discard)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatal("serve says nothing")
	}
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`).FindString(lines.Text())
	client := &http.Client{Timeout: 10 * time.Second}
	for path, want := range map[string]int{"healthz": http.StatusOK, "": http.StatusOK, "metrics": http.StatusOK, "site/none": http.StatusNotFound} {
		res, err := client.Get(address + path)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != want {
			t.Errorf("/%s gives %d, want %d", path, res.StatusCode, want)
		}
	}
	stop()
	if !lines.Scan() || lines.Text() != "Closed." {
		t.Errorf("at the end it says %q", lines.Text())
	}
	if c := <-code; c != exitDone {
		t.Errorf("exit code %d", c)
	}
	if _, err := client.Get(address); err == nil {
		t.Error("it still answers")
	}
}
