package worlds

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
)

// row is one line of an export, as it stands, with what a forger reads off it.
type row struct {
	raw     []byte
	station string
	seq     int
	head    bool
}

// Head is what the last lines of an export say of a station's chain.
type Head struct {
	Site    string `json:"site"`
	Station string `json:"station"`
	Seq     int    `json:"seq"`
	Hash    string `json:"hash"`
	Key     string `json:"key"`
	Sig     string `json:"sig"`
}

// export is a log to be tampered with.
type export struct {
	rows    []row
	message func(Head) []byte
}

// parsed takes an export apart; a line that is none is kept as it stands.
func parsed(lines [][]byte) *export {
	x := &export{}
	for _, raw := range lines {
		r := row{raw: slices.Clone(raw)}
		var h struct {
			Head *Head `json:"head"`
		}
		var l Line
		if json.Unmarshal(raw, &h) == nil && h.Head != nil {
			r.station, r.seq, r.head = h.Head.Station, h.Head.Seq, true
		} else if json.Unmarshal(raw, &l) == nil {
			r.station, r.seq = l.Station, l.Seq
		}
		x.rows = append(x.rows, r)
	}
	return x
}

// lines puts the export together again.
func (x *export) lines() [][]byte {
	var out [][]byte
	for _, r := range x.rows {
		out = append(out, r.raw)
	}
	return out
}

// stations are those that wrote lines, by name.
func (x *export) stations() []string {
	var out []string
	for _, r := range x.rows {
		if !r.head && r.station != "" && !slices.Contains(out, r.station) {
			out = append(out, r.station)
		}
	}
	slices.Sort(out)
	return out
}

// of gives where the lines of a station stand, in order of their numbers.
func (x *export) of(station string) []int {
	var at []int
	for i, r := range x.rows {
		if !r.head && r.station == station {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(x.rows[a].seq, x.rows[b].seq) })
	return at
}

// entries gives where lines of entries stand, and heads where heads do.
func (x *export) entries() []int { return x.where(func(r row) bool { return !r.head }) }
func (x *export) heads() []int   { return x.where(func(r row) bool { return r.head }) }

func (x *export) where(fits func(row) bool) []int {
	var at []int
	for i, r := range x.rows {
		if fits(r) {
			at = append(at, i)
		}
	}
	return at
}

// headed says whether a station has a head.
func (x *export) headed(station string) bool {
	return len(x.where(func(r row) bool { return r.head && r.station == station })) > 0
}

// drop takes out the rows that fit.
func (x *export) drop(fits func(row) bool) { x.rows = slices.DeleteFunc(x.rows, fits) }

var hashKey = []byte(`,"hash":"`)

// hashOf gives the hash that a line carries.
func hashOf(raw []byte) string {
	i := bytes.LastIndex(raw, hashKey)
	if i < 0 {
		return ""
	}
	return string(bytes.TrimRight(raw[i+len(hashKey):], "\"}\n"))
}

// rechain makes the numbers and hashes of a station right again, from its n-th line on.
func (x *export) rechain(station string, n int) {
	prev := make([]byte, 16)
	for i, at := range x.of(station) {
		r := &x.rows[at]
		if i >= n {
			r.number(i + 1)
			if cut := bytes.LastIndex(r.raw, hashKey); cut >= 0 {
				sum := sha256.Sum256(slices.Concat(prev, r.raw[:cut]))
				tail := r.raw[cut+len(hashKey)+22:]
				r.raw = slices.Concat(r.raw[:cut], hashKey, []byte(base64.RawURLEncoding.EncodeToString(sum[:16])), tail)
			}
		}
		if b, err := base64.RawURLEncoding.DecodeString(hashOf(r.raw)); err == nil {
			prev = b
		}
	}
}

var seqPattern = regexp.MustCompile(`"seq":\d+`)

// number gives a line another number in its station.
func (r *row) number(n int) {
	r.seq = n
	if at := seqPattern.FindIndex(r.raw); at != nil {
		r.raw = slices.Concat(r.raw[:at[0]], fmt.Appendf(nil, `"seq":%d`, n), r.raw[at[1]:])
	}
}

// rehead rewrites the head of a station.
func (x *export) rehead(station string, change func(*Head)) bool {
	for _, i := range x.heads() {
		if x.rows[i].station != station {
			continue
		}
		var h struct {
			Head Head `json:"head"`
		}
		if json.Unmarshal(x.rows[i].raw, &h) != nil {
			return false
		}
		change(&h.Head)
		raw, err := json.Marshal(h)
		if err != nil {
			return false
		}
		if bytes.HasSuffix(x.rows[i].raw, []byte("\n")) {
			raw = append(raw, '\n')
		}
		x.rows[i].raw = raw
		return true
	}
	return false
}

// fit makes the head of a station say where its lines now end, with the old signature.
func (x *export) fit(station string) bool {
	at := x.of(station)
	if len(at) == 0 {
		return false
	}
	last := x.rows[at[len(at)-1]]
	return x.rehead(station, func(h *Head) { h.Seq, h.Hash = last.seq, hashOf(last.raw) })
}
