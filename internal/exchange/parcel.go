package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"sootline"
)

// Parcel is what one book hands to another: what it holds, and what the other lacks.
type Parcel struct {
	Vectors []Vector
	Runs    []Run
	Photos  []Photo
	More    bool // there is more that the other lacks: ask again
}

// Photo is a picture under its hash.
type Photo struct {
	Hash    string `json:"hash"`
	Content []byte `json:"content"`
}

// begins is how every parcel begins: what it is, and the version of its form.
const begins = family + "1\n"

// family is how parcels of every form begin.
const family = "slx"

// MostUnpacked is how large a parcel may be once it is unpacked, in bytes.
const MostUnpacked = 64 << 20

// record is one line of a parcel, but for lines of logs, which stand as they are.
type record struct {
	More   bool       `json:"more,omitempty"`
	Vector *Vector    `json:"vector,omitempty"`
	Run    *runBegins `json:"run,omitempty"`
	Photo  *Photo     `json:"photo,omitempty"`
}

// runBegins stands before the lines of a run.
type runBegins struct {
	Site    sootline.ID    `json:"site"`
	Station string         `json:"station"`
	First   int64          `json:"first"`
	Lines   int            `json:"lines"`
	Opens   *sootline.Hash `json:"opens,omitempty"`
	Hash    sootline.Hash  `json:"hash"`
	Signed  bool           `json:"signed,omitempty"` // a head follows after the lines, as an export has it
}

// Pack writes the parcel.
func (p *Parcel) Pack() ([]byte, error) {
	var text bytes.Buffer
	write := json.NewEncoder(&text)
	write.SetEscapeHTML(false)
	err := write.Encode(record{More: p.More})
	for i := range p.Vectors {
		err = errors.Join(err, write.Encode(record{Vector: &p.Vectors[i]}))
	}
	for i := range p.Runs {
		r := &p.Runs[i]
		err = errors.Join(err, write.Encode(record{Run: &runBegins{r.Site, r.Station, r.First, len(r.Lines), r.Opens, r.Hash, r.Head != nil}}))
		for _, line := range r.Lines {
			text.Write(line)
			text.WriteByte('\n')
		}
		if r.Head != nil {
			text.Write(append(sootline.AppendHeadLine(nil, r.Head), '\n'))
		}
	}
	for i := range p.Photos {
		err = errors.Join(err, write.Encode(record{Photo: &p.Photos[i]}))
	}
	if err != nil {
		return nil, err
	}
	enc, err := newEncoder()
	if err != nil {
		return nil, err
	}
	return enc.EncodeAll(text.Bytes(), []byte(begins)), nil
}

// Unpack reads a parcel. One that was cut or altered on its way is refused.
func Unpack(packed []byte) (*Parcel, error) {
	if !bytes.HasPrefix(packed, []byte(begins)) {
		if bytes.HasPrefix(packed, []byte(family)) {
			return nil, sootline.Errorf(sootline.Newer, "bring this program up to date", "this file of an exchange is of a newer form than this program knows")
		}
		return nil, sootline.Errorf(sootline.Invalid, "give a file that an exchange wrote", "this is no file of an exchange")
	}
	dec, err := newDecoder()
	if err != nil {
		return nil, err
	}
	defer dec.Close()
	text, err := dec.DecodeAll(packed[len(begins):], nil)
	if err != nil {
		return nil, broken(err)
	}
	p := &Parcel{}
	if err := p.read(text); err != nil {
		return nil, broken(err)
	}
	return p, nil
}

func broken(cause error) error {
	return sootline.Errorf(sootline.Damaged, "exchange once more; nothing was taken in", "the file of the exchange was cut or altered on its way: %w", cause)
}

// read takes the text apart, line by line.
func (p *Parcel) read(text []byte) error {
	lines := sootline.SplitLines(text)
	if len(lines) == 0 {
		return errors.New("there is nothing in it")
	}
	for len(lines) > 0 {
		read := json.NewDecoder(bytes.NewReader(lines[0]))
		read.DisallowUnknownFields()
		var one record
		if err := read.Decode(&one); err != nil {
			return err
		}
		lines = lines[1:]
		switch {
		case one.Vector != nil:
			p.Vectors = append(p.Vectors, *one.Vector)
		case one.Photo != nil:
			p.Photos = append(p.Photos, *one.Photo)
		case one.Run != nil:
			var err error
			if lines, err = p.readRun(one.Run, lines); err != nil {
				return err
			}
		default:
			p.More = one.More
		}
	}
	return nil
}

// readRun takes the lines of a run, and gives those after them.
func (p *Parcel) readRun(b *runBegins, lines [][]byte) ([][]byte, error) {
	if b.Lines < 1 || b.Lines > len(lines) || b.First < 1 {
		return nil, fmt.Errorf("lines of station %s are missing", b.Station)
	}
	run := Run{Site: b.Site, Station: b.Station, First: b.First, Opens: b.Opens, Hash: b.Hash, Lines: lines[:b.Lines]}
	lines = lines[b.Lines:]
	if b.Signed {
		if len(lines) == 0 {
			return nil, fmt.Errorf("the head of station %s is missing", b.Station)
		}
		head, err := sootline.ParseHeadLine(lines[0])
		if err != nil {
			return nil, err
		}
		run.Head, lines = &head, lines[1:]
	}
	p.Runs = append(p.Runs, run)
	return lines, nil
}
