package shape

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"sootline"
	"sootline/internal/app"
)

// MostCaptures is how many entries a phone hands in at once. Our page hands in 50.
const MostCaptures = 1000

// capture is an entry as a phone hands it in, {"entries": [...]} around it.
type capture struct {
	ID    sootline.ID     `json:"id"`
	At    int64           `json:"at"` // milliseconds since 1970
	Point *sootline.ID    `json:"point,omitempty"`
	Kind  sootline.Kind   `json:"kind"`
	Body  json.RawMessage `json:"body"`
}

// ReadCaptures reads what a phone hands in, an entry at a time. An entry whose body
// cannot be read is refused by its id; one without an id, and one too many, end it:
// nothing of it could be told of.
func ReadCaptures(from io.Reader) (captures []app.Capture, refused []Refused, err error) {
	d := json.NewDecoder(from)
	n := 0
	err = eachEntry(d, func() error {
		var c capture
		if err := d.Decode(&c); err != nil {
			return err
		}
		switch n++; {
		case n > MostCaptures:
			return sootline.Errorf(sootline.Invalid, "hand in the rest after them", "at most %d entries are handed in at once; nothing was kept", MostCaptures)
		case c.ID.Zero():
			return sootline.Errorf(sootline.Invalid, "", "entry %d has no id; nothing was kept", n)
		}
		body, err := sootline.DecodeBody(c.Kind, c.Body)
		if err != nil {
			refused = append(refused, Refused{c.ID.String(), err.Error()})
			return nil
		}
		read := app.Capture{ID: c.ID, At: time.UnixMilli(c.At), Body: body}
		if c.Point != nil {
			read.Point = *c.Point
		}
		captures = append(captures, read)
		return nil
	})
	return captures, refused, err
}

// eachEntry stands the decoder before each element of the list "entries". Other keys
// are left out: a later page may write them.
func eachEntry(d *json.Decoder, take func() error) error {
	if err := opens(d, '{'); err != nil {
		return err
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return whole(err)
		}
		if key != "entries" {
			if err := d.Decode(new(json.RawMessage)); err != nil {
				return err
			}
			continue
		}
		if err := opens(d, '['); err != nil {
			return err
		}
		for d.More() {
			if err := take(); err != nil {
				return err
			}
		}
		if _, err := d.Token(); err != nil {
			return whole(err)
		}
	}
	_, err := d.Token()
	return whole(err)
}

func opens(d *json.Decoder, want json.Delim) error {
	token, err := d.Token()
	if err != nil {
		return whole(err)
	}
	if token != want {
		return fmt.Errorf("expected %v, found %v", want, token)
	}
	return nil
}

// whole makes an end that came too early an error of its own.
func whole(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}
