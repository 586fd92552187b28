package attack

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"strings"
	"time"
)

// Lines of a log as docs/formats/log.md has them, made by hand: whole chains, without signed heads.

// line is one entry in the order of its keys.
type line struct {
	ID      string          `json:"id"`
	Site    string          `json:"site"`
	At      string          `json:"at"`
	Noted   string          `json:"noted"`
	By      string          `json:"by"`
	Station string          `json:"station"`
	Seq     int             `json:"seq"`
	Point   string          `json:"point,omitempty"`
	Kind    string          `json:"kind"`
	Body    json.RawMessage `json:"body"`
}

const stampFormat = "2006-01-02T15:04:05.000Z"

func stamp(at time.Time) string { return at.UTC().Format(stampFormat) }

// forged makes the chain of one station of a site.
type forged struct {
	site, station string
	prev          [16]byte
	seq           int
	out           strings.Builder
}

func (f *forged) add(id, kind, body string) string {
	now := time.Now()
	if id == "" {
		id = uuid7(now)
	}
	return f.entry(id, "", now, kind, body)
}

// entry adds what happened at a point, or where none is given at the site, and was noted at once.
func (f *forged) entry(id, point string, at time.Time, kind, body string) string {
	f.seq++
	var text strings.Builder
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	e.Encode(line{id, f.site, stamp(at), stamp(at), "X", f.station, f.seq, point, kind, json.RawMessage(body)})
	open := strings.TrimSuffix(text.String(), "}\n")
	sum := sha256.Sum256(append(f.prev[:], open...))
	copy(f.prev[:], sum[:16])
	f.out.WriteString(open + `,"hash":"` + base64.RawURLEncoding.EncodeToString(sum[:16]) + "\"}\n")
	return id
}

// newSite is a forged log that opens a site.
func newSite(name, zone, station string) *forged {
	f := &forged{site: uuid7(time.Now()), station: station}
	f.add("", "opened", `{"name":"`+name+`","zone":"`+zone+`"}`)
	return f
}
