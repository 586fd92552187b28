package ear

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"os"
	"time"
)

// Growing is a file to which another program adds. It may be emptied, or renamed to NAME.1 and begun anew.
type Growing struct {
	Path  string
	Whole bool // without a place it is read from its beginning
}

// look is how often a file is looked at.
const look = 200 * time.Millisecond

// tail is how many bytes before a place say that the file is still the same.
const tail = 256

// Listen reads what is added. Without a place it begins at the end of the file as it is, or at its beginning.
func (g Growing) Listen(ctx context.Context, place string, out Out) error {
	r := &growing{path: g.Path, out: out}
	if place != "" || !g.Whole {
		if err := r.begin(place); err != nil {
			out.Say(g.Path + ": " + err.Error())
		}
	}
	tick := time.NewTicker(look)
	defer tick.Stop()
	for {
		if err := r.step(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			r.leave()
			return nil
		case <-tick.C:
		}
	}
}

// growing is a file as far as it was read.
type growing struct {
	path   string
	out    Out
	file   *os.File
	at     int64
	last   []byte // the bytes before at, for the place
	missed bool   // that it is gone was said
}

// begin opens the file at a place, or at its end.
func (g *growing) begin(place string) error {
	if place != "" {
		for _, path := range []string{g.path, g.path + ".1"} {
			if g.resume(path, place) {
				return nil
			}
		}
		g.out.Say(g.path + ": what was read last is no longer there; the file is read from its beginning")
		return nil
	}
	file, err := os.Open(g.path)
	if err != nil {
		return err
	}
	end, err := file.Seek(0, io.SeekEnd)
	if err != nil {
		return errors.Join(err, file.Close())
	}
	g.file, g.at = file, end
	g.out.joined(true)
	if end > 0 {
		g.out.Say(fmt.Sprintf("%s: it is read from its end on; %d bytes before are not", g.path, end))
	}
	return g.lookBack()
}

// lookBack reads the bytes before the place where the file stands.
func (g *growing) lookBack() error {
	g.last = make([]byte, min(tail, g.at))
	_, err := g.file.ReadAt(g.last, g.at-int64(len(g.last)))
	return err
}

// resume opens a file where it was left, if what stands there is still the same.
func (g *growing) resume(path, place string) bool {
	var at int64
	var sum string
	if _, err := fmt.Sscanf(place, "%d %s", &at, &sum); err != nil {
		return false
	}
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	g.file, g.at = file, at
	if err := g.lookBack(); err != nil || sumOf(g.last) != sum {
		_ = file.Close() // only read from
		g.file, g.at, g.last = nil, 0, nil
		return false
	}
	g.out.joined(true)
	_, err = file.Seek(at, io.SeekStart)
	return err == nil
}

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return base64.RawURLEncoding.EncodeToString(sum[:16])
}

func (g *growing) place() string { return fmt.Sprintf("%d %s", g.at, sumOf(g.last)) }

// step reads what was added, and follows a file that was emptied or begun anew.
func (g *growing) step() error {
	if g.file == nil && !g.open() {
		return nil
	}
	if err := g.read(); err != nil {
		return err
	}
	now, err := os.Stat(g.path)
	if err != nil {
		return nil // renamed, and not begun anew yet; what is added to it is still read
	}
	own, err := g.file.Stat()
	if err != nil {
		return nil
	}
	switch {
	case !os.SameFile(now, own):
		if err := g.read(); err != nil { // what was added before it was renamed
			return err
		}
		g.leave()
		g.out.Say(g.path + ": it was begun anew")
	case now.Size() < g.at:
		g.leave()
		g.out.Say(g.path + ": it was emptied, and is read from its beginning")
	}
	return nil
}

func (g *growing) open() bool {
	file, err := os.Open(g.path)
	if err != nil {
		if !g.missed {
			g.out.Say(g.path + ": " + err.Error())
		}
		g.missed = true
		g.out.joined(false)
		return false
	}
	if g.missed {
		g.out.Say(g.path + ": it is there again")
	}
	g.file, g.at, g.last, g.missed = file, 0, nil, false
	g.out.joined(true)
	return true
}

func (g *growing) leave() {
	if g.file != nil {
		_ = g.file.Close() // only read from
		g.file = nil
	}
}

func (g *growing) read() error {
	buf := make([]byte, atOnce)
	for {
		n, err := g.file.Read(buf)
		if n > 0 {
			g.at += int64(n)
			g.last = append(g.last, buf[:n]...)
			g.last = append([]byte(nil), g.last[max(0, len(g.last)-tail):]...)
			if err := g.out.Hear(Heard{At: g.out.Now(), Bytes: append([]byte(nil), buf[:n]...), Place: g.place()}); err != nil {
				return err
			}
		}
		if err != nil || n == 0 {
			return nil // the end, for now
		}
	}
}
