package worlds

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"
)

// stamp is the one spelling of an instant in an export.
const stamp = "2006-01-02T15:04:05.000Z"

// Line is one line of an export, in the terms of docs/formats/log.md.
type Line struct {
	ID      string          `json:"id"`
	Site    string          `json:"site"`
	At      string          `json:"at"`
	Day     bool            `json:"day,omitempty"` // only the day of At is known
	Noted   string          `json:"noted"`
	By      string          `json:"by"`
	Station string          `json:"station"`
	Seq     int             `json:"seq"`
	Point   string          `json:"point,omitempty"`
	Kind    string          `json:"kind"`
	Body    json.RawMessage `json:"body"`
	Hash    string          `json:"hash,omitempty"`
}

// ReadLog reads the entries of an export; the lines of heads at its end are passed over.
func ReadLog(r io.Reader) ([]Line, error) {
	var lines []Line
	in := bufio.NewReader(r)
	for n := 1; ; n++ {
		text, err := in.ReadBytes('\n')
		if len(bytes.TrimSpace(text)) > 0 && !bytes.HasPrefix(text, []byte(`{"head":`)) {
			var l Line
			if err := json.Unmarshal(text, &l); err != nil {
				return nil, fmt.Errorf("line %d: %w", n, err)
			}
			lines = append(lines, l)
		}
		if err == io.EOF {
			return lines, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

// fact is what an entry says after all corrections.
type fact struct {
	id, point, kind, by string
	at                  time.Time
	day                 bool
	body                json.RawMessage
}
