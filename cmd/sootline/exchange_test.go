package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
)

// machine is a computer with a book of its own.
type machine struct {
	t    *testing.T
	data string
	book string
	by   string
}

func newMachine(t *testing.T, by string) *machine {
	return &machine{t, t.TempDir(), filepath.Join(t.TempDir(), "book.db"), by}
}

// does runs a command there, and gives what it prints.
func (m *machine) does(want int, input string, args ...string) string {
	m.t.Helper()
	m.t.Setenv("XDG_DATA_HOME", m.data)
	m.t.Setenv("SOOTLINE_BOOK", m.book)
	m.t.Setenv("SOOTLINE_BY", m.by)
	var out bytes.Buffer
	if code := run(m.t.Context(), args, strings.NewReader(input), &out, &out); code != want {
		m.t.Fatalf("%s gives %d: %s", strings.Join(args, " "), code, out.String())
	}
	return out.String()
}

func (m *machine) says(what, words string) {
	m.t.Helper()
	if !strings.Contains(what, words) {
		m.t.Errorf("%q is not in:\n%s", words, what)
	}
}

const exchangePassword = "seven quiet lanterns"

// served starts the server of a machine, and gives its port.
func (m *machine) served(cert, key string) string {
	m.t.Helper()
	ctx, stop := context.WithCancel(m.t.Context())
	out, in := io.Pipe()
	done := make(chan struct{})
	m.t.Setenv("XDG_DATA_HOME", m.data)
	go func() {
		defer close(done)
		run(ctx, []string{"serve", "--book", m.book, "--listen", "127.0.0.1:0", "--tls-cert", cert, "--tls-key", key}, os.Stdin, in, io.Discard)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		m.t.Fatal("serve says nothing")
	}
	m.t.Cleanup(func() {
		stop()
		for lines.Scan() {
		}
		<-done
	})
	return regexp.MustCompile(`:(\d+)/`).FindStringSubmatch(lines.Text())[1]
}

// cutting passes bytes on to a port, and breaks each of the first lines off after some
// bytes of the answer.
func cutting(t *testing.T, port string, cuts ...int64) (at string, broken *atomic.Int32) {
	t.Helper()
	broken = new(atomic.Int32)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { listener.Close() })
	go func() {
		for {
			from, err := listener.Accept()
			if err != nil {
				return
			}
			most := int64(1 << 30)
			if len(cuts) > 0 {
				most, cuts = cuts[0], cuts[1:]
			}
			to, err := net.Dial("tcp", "127.0.0.1:"+port)
			if err != nil {
				from.Close()
				continue
			}
			go io.Copy(to, from)
			go func() {
				if n, _ := io.CopyN(from, to, most); n == most {
					broken.Add(1)
				}
				from.Close()
				to.Close()
			}()
		}
	}()
	if _, at, err = net.SplitHostPort(listener.Addr().String()); err != nil {
		t.Fatal(err)
	}
	return at, broken
}

// office is a machine with two sites and the people that use its book.
func newOffice(t *testing.T) *machine {
	t.Helper()
	office := newMachine(t, "M. Manager")
	office.does(exitDone, "", "site", "add", "Works", "--loop", "1")
	office.does(exitDone, "", "site", "add", "Mill", "--loop", "1")
	listing := filepath.Join(t.TempDir(), "schedule.csv")
	if err := os.WriteFile(listing, []byte("loop,address,type,location\n1,1,Larch,Front\n1,2,Larch,Back\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	office.does(exitDone, "", "take", listing, "--site", "Works", "--yes")
	office.does(exitDone, exchangePassword+"\n", "serve", "person", "add", "M. Manager", "--role", "manager")
	office.does(exitDone, exchangePassword+"\n", "serve", "person", "add", "T. Tech", "--role", "technician")
	return office
}

// TestExchangeWithServer: a laptop takes a site along over HTTPS, works, and comes back over
// a line that breaks; what was changed in two places is told and settled; who may not hand
// lines in is told so, and gets what the server has.
func TestExchangeWithServer(t *testing.T) {
	office, laptop := newOffice(t), newMachine(t, "T. Tech")
	cert, key := filepath.Join(t.TempDir(), "cert.pem"), filepath.Join(t.TempDir(), "key.pem")
	makeCertificate(t, cert, key)
	port := office.served(cert, key)
	with := []string{"book", "exchange", "--with", "https://127.0.0.1:" + port, "--authority", cert}
	as := func(name string) []string { return append(with[:len(with):len(with)], "--as", name) }

	laptop.says(laptop.does(exitCouldNot, "", append(with, "--site", "Works")...), "does not know who asks")
	laptop.says(laptop.does(exitCouldNot, "a wrong one\n", append(as("T. Tech"), "--site", "Works")...), "does not let T. Tech in")
	laptop.says(laptop.does(exitDone, exchangePassword+"\n", append(as("T. Tech"), "--site", "Works")...), "New: site Works: 7 lines came in.")
	if sites := laptop.does(exitDone, "", "site", "list"); strings.Contains(sites, "Mill") {
		t.Errorf("a site came that nobody wanted:\n%s", sites)
	}

	laptop.does(exitDone, "", "log", "add", "addressed", "--point", "1.002", "--wanted", "40", "--sure")
	office.does(exitDone, "", "log", "add", "addressed", "--point", "1.002", "--wanted", "41", "--sure", "--site", "Works")
	at, broken := cutting(t, port, 3200)
	with[3] = "https://127.0.0.1:" + at
	came := laptop.does(exitDone, exchangePassword+"\n", as("T. Tech")...)
	laptop.says(came, "1 fact was changed in two places")
	laptop.says(came, "1 line went to")
	if broken.Load() != 1 {
		t.Errorf("the line broke %d times", broken.Load())
	}
	found := laptop.does(exitDone, "", "check")
	laptop.says(strings.Join(strings.Fields(found), " "), "was changed in two places: the number that it should have, by T. Tech")
	entry := regexp.MustCompile(`settle\s+([0-9a-f-]{36})`).FindStringSubmatch(found)[1]
	laptop.says(laptop.does(exitDone, "", "log", "settle", entry), "number wanted 40, by entry")

	laptop.does(exitDone, "", "log", "add", "note", "--text", "of a colleague", "--by", "C. Other")
	office.does(exitDone, "", "log", "add", "note", "--text", "of the office", "--site", "Works")
	refused := laptop.does(exitCouldNot, exchangePassword+"\n", as("T. Tech")...)
	laptop.says(refused, "is by C. Other, and you hand in what you wrote yourself")
	laptop.says(refused, "Site Works: 1 line came in.")
	laptop.says(laptop.does(exitDone, exchangePassword+"\n", as("M. Manager")...), "2 lines went to")
	if found := office.does(exitDone, "", "check", "--site", "Works"); strings.Contains(found, "two places") || !strings.Contains(found, "1.1.040") {
		t.Errorf("in the office it is not settled:\n%s", found)
	}
	laptop.says(laptop.does(exitDone, "", "log", "verify"), "none altered, missing or out of order")
}

// sideIn gives the station of a machine.
func sideIn(t *testing.T, m *machine) string {
	t.Helper()
	name, err := os.ReadFile(filepath.Join(m.data, "sootline", "station"))
	if err != nil {
		t.Fatal(err)
	}
	return string(name)
}

// TestExchangeByStick: a folder is carried to and fro until both hold the same; a damaged
// file in it is refused by its name.
func TestExchangeByStick(t *testing.T) {
	office, laptop, stick := newOffice(t), newMachine(t, "T. Tech"), t.TempDir()
	turn := func(m *machine, want string, more ...string) {
		t.Helper()
		m.says(m.does(exitDone, "", append([]string{"book", "exchange", stick}, more...)...), want)
	}
	laptop.says(laptop.does(exitCouldNot, "", "book", "exchange", stick), "the book has no site yet")
	turn(laptop, "2 sites: it is written", "--site", "Works", "--site", "Mill")
	turn(office, "for the other book, which lacks them: 9 lines")
	turn(laptop, "Both books hold the same of 2 sites")
	turn(office, "Both books hold the same of 2 sites")
	laptop.does(exitDone, "", "log", "add", "note", "--text", "weeks later", "--site", "Mill")
	turn(laptop, "which lacks them: 1 line")
	turn(office, "Site Mill: 1 line came in.")

	names, err := filepath.Glob(filepath.Join(stick, "*.exchange"))
	if err != nil || len(names) < 2 {
		t.Fatal(names, err)
	}
	laptop.does(exitDone, "", "log", "add", "note", "--text", "and later", "--site", "Mill")
	turn(laptop, "which lacks them: 1 line")
	lines, err := filepath.Glob(filepath.Join(stick, strings.TrimSpace(sideIn(t, laptop))+"-*-0002.exchange"))
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	names = lines
	packed, err := os.ReadFile(names[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(names[0], packed[:len(packed)-9], 0o600); err != nil {
		t.Fatal(err)
	}
	office.says(office.does(exitCouldNot, "", "book", "exchange", stick), filepath.Base(names[0])+": the file of the exchange was cut or altered")
	turn(laptop, "which lacks them: 1 line")
	turn(office, "Site Mill: 1 line came in.")
}
