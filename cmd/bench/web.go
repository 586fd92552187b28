package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/klauspost/compress/gzip"

	"sootline"
	"sootline/internal/store"
)

// web measures `serve` as a process of its own over real connections: a site of
// 500 points and 20,000 entries, the book warm.
func web(folder, binary string) ([]row, error) {
	site, err := benchSite(filepath.Join(folder, "web.db"))
	if err != nil {
		return nil, err
	}
	served, err := serve(folder, binary, "web.db")
	if err != nil {
		return nil, err
	}
	defer served.stop()
	pages, err := served.pages(site)
	if err != nil {
		return nil, err
	}
	p50, p99, err := served.pace(pages, 50, 20*time.Second)
	if err != nil {
		return nil, err
	}
	idle, err := served.peak()
	if err != nil {
		return nil, err
	}
	if err := served.crowd(pages, 200, 10); err != nil {
		return nil, err
	}
	full, err := served.peak()
	if err != nil {
		return nil, err
	}
	weight, requests, err := served.weight(pages[0])
	if err != nil {
		return nil, err
	}
	const mostMemory = 256 << 20
	return []row{
		{"pages of a site of 20,000 entries, 50 a second", fmt.Sprintf("p99 %.1f ms", ms(p99)), fmt.Sprintf("p50 %.1f ms", ms(p50)), "", "p99 under 50 ms", p99 < 50*time.Millisecond},
		{"  peak memory with 200 clients at once", fmt.Sprintf("%d MB", full>>20), fmt.Sprintf("before: %d MB", idle>>20), fmt.Sprintf("%.2f", float64(full)/float64(idle)), "at most 256 MB", full <= mostMemory},
		{"  the site's page, compressed, without charts", fmt.Sprintf("%.1f kB", float64(weight)/1000), "", "", "under 100 kB", weight < 100_000},
		{"  requests of a first view", strconv.Itoa(requests), "", "", "at most 6", requests <= 6},
	}, nil
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// benchSite fills a book with one site, and gives the path of its page.
func benchSite(path string) (string, error) {
	book, site, err := filled(path, history(500, 38))
	if err != nil {
		return "", err
	}
	return "/site/" + site.String(), book.Close()
}

// filled makes a book of one site with a log of these entries.
func filled(path string, entries []sootline.Entry) (*store.Store, sootline.ID, error) {
	site := entries[0].Site
	book, err := store.Open(context.Background(), path, true, nil)
	if err != nil {
		return nil, site, err
	}
	opened := sootline.Entry{ID: sootline.DerivedID(epoch, []byte("opened")), Site: site, At: sootline.LongAgo, Noted: epoch, Station: "bench", Body: sootline.Opened{Name: "Bench works"}}
	err = book.Write(context.Background(), func(tx *store.Tx) error {
		if err := tx.PutSite(site, "Bench works"); err != nil {
			return err
		}
		return tx.Append(site, "bench", func(w *store.Writer) error {
			for _, e := range append([]sootline.Entry{opened}, entries...) {
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	return book, site, err
}

// served is a server under way.
type served struct {
	cmd     *exec.Cmd
	address string
}

func serve(folder, binary, book string) (*served, error) {
	return serveBook(folder, binary, filepath.Join(folder, book))
}

// serveBook serves a book by its name, which may be an address.
func serveBook(folder, binary, book string) (*served, error) {
	cmd := exec.Command(binary, "--book", book, "serve", "--listen", "127.0.0.1:0")
	cmd.Env = append(os.Environ(), "XDG_DATA_HOME="+folder)
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	s := &served{cmd: cmd}
	line, err := bufio.NewReader(out).ReadString('\n')
	found := regexp.MustCompile(`http://[0-9.:]+`).FindString(line)
	if err != nil || found == "" {
		s.stop()
		return nil, fmt.Errorf("serve said %q: %w", line, err)
	}
	s.address = found
	go io.Copy(io.Discard, out) //nolint:errcheck // a line a request, until it stops
	return s, nil
}

func (s *served) stop() {
	s.cmd.Process.Signal(os.Interrupt) //nolint:errcheck // it may have ended
	s.cmd.Wait()                       //nolint:errcheck // it was told to end
}

// pages lists the pages that are asked for, each looked at once before.
func (s *served) pages(site string) ([]string, error) {
	text, err := fetch(http.DefaultClient, s.address+site+"/points")
	if err != nil {
		return nil, err
	}
	point := regexp.MustCompile(site + `/point/[0-9a-f-]{36}`).FindString(string(text))
	pages := []string{site, site + "/points?sort=drift&way=down", point, "/", site + "/loop", site + "/log"}
	for _, page := range pages {
		if _, err := fetch(http.DefaultClient, s.address+page); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

func fetch(client *http.Client, address string) ([]byte, error) {
	res, err := client.Get(address)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close() //nolint:errcheck // it was only read
	text, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s gives %d", address, res.StatusCode)
	}
	return text, err
}

// pace asks for one page after another so many times a second, whether or not the
// one before has come.
func (s *served) pace(pages []string, perSecond int, long time.Duration) (p50, p99 time.Duration, err error) {
	took := make([]time.Duration, int(long.Seconds())*perSecond)
	failed := make([]error, len(took))
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	ticks := time.NewTicker(time.Second / time.Duration(perSecond))
	defer ticks.Stop()
	var all sync.WaitGroup
	for i := range took {
		<-ticks.C
		all.Go(func() {
			began := time.Now()
			_, failed[i] = fetch(client, s.address+pages[i%len(pages)])
			took[i] = time.Since(began)
		})
	}
	all.Wait()
	slices.Sort(took)
	for _, e := range failed {
		if e != nil {
			return 0, 0, e
		}
	}
	return took[len(took)/2], took[len(took)*99/100], nil
}

// crowd lets so many clients, each with a connection of its own, ask at once.
func (s *served) crowd(pages []string, clients, each int) error {
	failed := make([]error, clients)
	var all sync.WaitGroup
	for i := range clients {
		all.Go(func() {
			transport := &http.Transport{MaxConnsPerHost: 1}
			defer transport.CloseIdleConnections()
			client := &http.Client{Transport: transport}
			for n := range each {
				if _, err := fetch(client, s.address+pages[(i+n)%len(pages)]); err != nil {
					failed[i] = err
					return
				}
			}
		})
	}
	all.Wait()
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

// peak reads the most memory that the server ever held, in bytes.
func (s *served) peak() (int64, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	if err != nil {
		return 0, err
	}
	found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(text)
	if found == nil {
		return 0, fmt.Errorf("the system does not say how much memory process %d held", s.cmd.Process.Pid)
	}
	kB, err := strconv.ParseInt(string(found[1]), 10, 64)
	return kB << 10, err
}

// weight gives what a page weighs compressed without its charts, and how many
// requests its first view makes: itself, and every file that it names.
func (s *served) weight(page string) (bytes, requests int, err error) {
	text, err := fetch(http.DefaultClient, s.address+page)
	if err != nil {
		return 0, 0, err
	}
	plain := regexp.MustCompile(`(?s)<svg.*?</svg>`).ReplaceAll(text, nil)
	var counted strings.Builder
	w := gzip.NewWriter(&counted)
	if _, err := w.Write(plain); err != nil {
		return 0, 0, err
	}
	if err := w.Close(); err != nil {
		return 0, 0, err
	}
	files := regexp.MustCompile(`(?:src|<link [^>]*href)="([^"]+)"`).FindAllSubmatch(plain, -1)
	for _, file := range files {
		if _, err := fetch(http.DefaultClient, s.address+string(file[1])); err != nil {
			return 0, 0, err
		}
	}
	return counted.Len(), 1 + len(files), nil
}
