package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"sootline"
)

// EntryWords tells what an entry says, as keys and values in the order of its
// JSON.
func EntryWords(e *sootline.Entry) string {
	raw, err := json.Marshal(e.Body)
	if err != nil {
		return err.Error()
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var b strings.Builder
	if err := tellValue(dec, &b); err != nil {
		return err.Error()
	}
	return b.String()
}

// tellValue writes the next value: what is in an object or a list, with commas.
func tellValue(dec *json.Decoder, b *strings.Builder) error {
	token, err := dec.Token()
	if err != nil {
		return err
	}
	open, isDelim := token.(json.Delim)
	if !isDelim {
		fmt.Fprint(b, token)
		return nil
	}
	for first := true; dec.More(); first = false {
		if !first {
			b.WriteString(", ")
		}
		if open == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			fmt.Fprintf(b, "%v: ", key)
		}
		if err := tellValue(dec, b); err != nil {
			return err
		}
	}
	_, err = dec.Token() // what closes it
	return err
}
