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
	Body  json.RawMessage `json:"body,omitempty"`
	Form  sootline.Form   `json:"form,omitempty"` // what was typed, instead of a body
}

// ReadCaptures reads what a phone hands in, an entry at a time. An entry that cannot
// be read is refused alone, by its id, or by its place in the list where it has none;
// the others are read. What is no list, and one entry too many, end it.
func ReadCaptures(from io.Reader) (captures []app.Capture, refused []Refused, err error) {
	d := json.NewDecoder(from)
	n := 0
	err = eachEntry(d, func() error {
		var text json.RawMessage
		if err := d.Decode(&text); err != nil {
			return err
		}
		if n++; n > MostCaptures {
			return sootline.Errorf(sootline.Invalid, "hand in the rest after them", "at most %d entries are handed in at once; nothing was kept", MostCaptures)
		}
		read, no := readCapture(text, n)
		if no != nil {
			refused = append(refused, *no)
			return nil
		}
		captures = append(captures, read)
		return nil
	})
	return captures, refused, err
}

// readCapture reads the entry at a place of the list, or tells why it is refused.
func readCapture(text json.RawMessage, place int) (app.Capture, *Refused) {
	var c capture
	err := json.Unmarshal(text, &c)
	if err != nil {
		var named struct {
			ID sootline.ID `json:"id"`
		}
		if json.Unmarshal(text, &named) == nil && !named.ID.Zero() {
			return app.Capture{}, &Refused{ID: named.ID.String(), Why: mistyped(err)}
		}
		return app.Capture{}, &Refused{Place: place, Why: fmt.Sprintf("entry %d: %s", place, mistyped(err))}
	}
	if c.ID.Zero() {
		return app.Capture{}, &Refused{Place: place, Why: fmt.Sprintf("entry %d has no id", place)}
	}
	body, err := c.said()
	if err != nil {
		return app.Capture{}, &Refused{ID: c.ID.String(), Why: err.Error()}
	}
	read := app.Capture{ID: c.ID, At: time.UnixMilli(c.At), Body: body}
	if c.Point != nil {
		read.Point = *c.Point
	}
	return read, nil
}

// said is what a capture says: its body, or the form that was typed, which the log reads as it reads any form.
func (c *capture) said() (sootline.Body, error) {
	switch {
	case c.Form == nil:
		return sootline.DecodeBody(c.Kind, c.Body)
	case len(c.Body) > 0:
		return nil, sootline.Errorf(sootline.Invalid, "", "an entry says what it says by a body or by a form, and not by both")
	}
	return sootline.BodyOf(c.Kind, c.Form)
}

// mistyped says which part of an entry is of another type than it should be.
func mistyped(err error) string {
	var wrong *json.UnmarshalTypeError
	if !errors.As(err, &wrong) {
		return err.Error()
	}
	if wrong.Field == "" {
		return "it is no entry but a JSON " + wrong.Value
	}
	if wrong.Field == "at" {
		return fmt.Sprintf("its time is a JSON %.40s, and no whole number of milliseconds since 1970", wrong.Value)
	}
	return fmt.Sprintf("its %q may not be a JSON %.40s", wrong.Field, wrong.Value)
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
