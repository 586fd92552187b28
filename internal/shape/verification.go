package shape

import (
	"time"

	"sootline/internal/app"
)

// Verification is what following the chains of a log found.
type Verification struct {
	Whole    bool           `json:"whole"`
	Lines    int            `json:"lines"`
	Stations int            `json:"stations"`
	Faults   []string       `json:"faults"`
	Chains   []ChainVerdict `json:"chains"`
	Limits   []string       `json:"limits" doc:"What this cannot know"`
}

// ChainVerdict is what is known of one station's chain.
type ChainVerdict struct {
	Station   string    `json:"station"`
	Last      int64     `json:"last" doc:"Number of its last line"`
	Key       string    `json:"key,omitempty" doc:"The Ed25519 public key by which its heads are signed, base64url; left out: it never signed"`
	KeyHere   bool      `json:"key_here" doc:"This book holds the secret half"`
	Signed    int64     `json:"signed" doc:"The number up to which it is signed"`
	Unsigned  []Stretch `json:"unsigned" doc:"Lines that stood here before anything was signed that covers them"`
	Outside   int64     `json:"outside" doc:"The number up to which something witnesses it that this book cannot make anew"`
	Witnesses []Witness `json:"witnesses"`
	Says      []string  `json:"says" doc:"All of this in sentences"`
}

// Stretch is a run of lines.
type Stretch struct {
	First int64 `json:"first"`
	Last  int64 `json:"last"`
}

// Witness is what names a line of a chain.
type Witness struct {
	Line    int64  `json:"line"`
	File    string `json:"file,omitempty"`
	Station string `json:"station,omitempty" doc:"The one whose entry pins it"`
	Entry   string `json:"entry,omitempty"`
	Kind    string `json:"kind,omitempty"`
	Noted   string `json:"noted,omitempty"`
	Outside bool   `json:"outside" doc:"This book cannot make it anew"`
}

// OfVerification shapes it.
func OfVerification(v app.Verification) Verification {
	shape := Verification{
		Whole: len(v.Faults) == 0, Lines: v.Lines, Stations: v.Stations, Faults: []string{}, Chains: []ChainVerdict{}, Limits: v.Limits(),
	}
	for _, fault := range v.Faults {
		shape.Faults = append(shape.Faults, fault.Error())
	}
	for i := range v.Chains {
		shape.Chains = append(shape.Chains, ofChain(&v.Chains[i], v.Zone))
	}
	return shape
}

func ofChain(c *app.ChainVerdict, zone *time.Location) ChainVerdict {
	shape := ChainVerdict{
		Station: c.Station, Last: c.Last, KeyHere: c.Here, Signed: c.Signed, Outside: c.Outside,
		Unsigned: []Stretch{}, Witnesses: []Witness{}, Says: c.Sentences(zone),
	}
	if c.Key != nil {
		shape.Key = c.Key.String()
	}
	for _, s := range c.Unsigned {
		shape.Unsigned = append(shape.Unsigned, Stretch{s.First, s.Last})
	}
	for _, w := range c.Witnesses {
		one := Witness{Line: w.Seq, File: w.File, Outside: w.Outside}
		if e := w.Entry; e != nil {
			one.Station, one.Entry, one.Kind, one.Noted = e.Station, e.ID.String(), string(e.Body.Kind()), e.Noted.Format(time.RFC3339)
		}
		shape.Witnesses = append(shape.Witnesses, one)
	}
	return shape
}

// Imported is what an import brought.
type Imported struct {
	Site     string          `json:"site"`
	Lines    int             `json:"lines"`
	Added    int             `json:"added"`
	Gaps     int             `json:"gaps"`
	Unsigned []UnsignedLines `json:"unsigned" doc:"Of what was added: lines that no signature covers"`
	Headless []string        `json:"headless" doc:"Stations that are known to sign, and whose signed head the file does not carry"`
}

// UnsignedLines are lines of a station that no signature covers.
type UnsignedLines struct {
	Station string `json:"station"`
	Stretch
}

// OfImported shapes it.
func OfImported(in app.Imported) Imported {
	shape := Imported{Site: in.Site, Lines: in.Lines, Added: in.Added, Gaps: in.Gaps, Unsigned: []UnsignedLines{}, Headless: append([]string{}, in.Headless...)}
	for _, s := range in.Unsigned {
		shape.Unsigned = append(shape.Unsigned, UnsignedLines{s.Station, Stretch{s.First, s.Last}})
	}
	return shape
}
