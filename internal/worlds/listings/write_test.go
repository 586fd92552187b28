package listings

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Every file is what its ending says, whatever the layout: other code reads it to its end.
func TestFilesAreSound(t *testing.T) {
	for i, layout := range Layouts() {
		for _, format := range Formats() {
			l := MakeOf(uint64(900+i), layout, format, "Italian")
			if err := sound(l.Name, l.Data); err != nil {
				t.Errorf("%s as %s: %v", layout, l.Name, err)
			}
		}
	}
}

func sound(name string, data []byte) error {
	switch ending := name[strings.LastIndexByte(name, '.'):]; ending {
	case ".json":
		var any any
		return json.Unmarshal(data, &any)
	case ".jsonl":
		for _, l := range bytes.Split(bytes.TrimSpace(data), []byte("\n")) {
			if !json.Valid(l) {
				return errors.New("not JSON: " + string(l))
			}
		}
	case ".html":
		tables, err := htmlTables(data)
		if err == nil && tables == 0 {
			return errors.New("no table")
		}
		return err
	case ".xlsx", ".ods", ".zip":
		return soundContainer(data)
	}
	return nil
}

func htmlTables(data []byte) (int, error) {
	tokens, tables := html.NewTokenizer(bytes.NewReader(data)), 0
	for {
		switch tokens.Next() {
		case html.ErrorToken:
			if errors.Is(tokens.Err(), io.EOF) {
				return tables, nil
			}
			return tables, tokens.Err()
		case html.StartTagToken:
			if tokens.Token().Data == "table" {
				tables++
			}
		}
	}
}

func soundContainer(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			return err
		}
		inner, err := io.ReadAll(r)
		if err != nil {
			return err
		}
		switch {
		case strings.HasSuffix(f.Name, ".xml"), strings.HasSuffix(f.Name, ".rels"):
			err = wellFormed(inner)
		case strings.HasSuffix(f.Name, ".xlsx"):
			err = soundContainer(inner)
		}
		if err != nil {
			return errors.Join(errors.New(f.Name), err)
		}
	}
	return nil
}

func wellFormed(data []byte) error {
	in := xml.NewDecoder(bytes.NewReader(data))
	for {
		if _, err := in.Token(); err != nil {
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
	}
}

// Values stand in the file as the language writes decimals.
func TestValuesStandInTheFile(t *testing.T) {
	looked := 0
	for seed := range uint64(150) {
		for _, language := range languages() {
			l := MakeOf(seed, "readings", "html", language.name)
			for _, f := range l.Truth.Readings {
				looked++
				if text := decimal(f.Value, 0, language.comma); f.Value == float64(int(f.Value)) && !strings.Contains(string(l.Data), text) {
					t.Fatalf("seed %d, %s: %g is not there", seed, language.name, f.Value)
				}
			}
		}
	}
	if looked < 10000 {
		t.Errorf("only %d values", looked)
	}
}
