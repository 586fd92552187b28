package listings

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"slices"
	"time"

	"sootline"
)

//go:embed testdata
var testdata embed.FS

// Case is a listing written by hand, with what is right.
type Case struct {
	Name    string
	Says    string // what it is, and what was seen to go wrong with such
	Wants   []Class
	Listing Listing
}

// caseFile is what stands in case.json.
type caseFile struct {
	Says  string  `json:"says"`
	Site  string  `json:"site"`
	File  string  `json:"file"`
	Wants []Class `json:"wants"`
	Truth Truth   `json:"truth"`
}

// siteFile is a site in testdata/sites.
type siteFile struct {
	Zone     string   `json:"zone"`
	Unit     string   `json:"unit"`
	Loops    []string `json:"loops"` // panel.loop
	Separate bool     `json:"separate"`
	Types    []struct {
		Name   string              `json:"name"`
		Device sootline.DeviceKind `json:"device"`
		Low    float64             `json:"low"`
		High   float64             `json:"high"`
	} `json:"types"`
	Points []struct {
		Ref    string `json:"ref"`
		Type   string `json:"type"`
		Zone   string `json:"zone"`
		Place  string `json:"place"`
		Serial string `json:"serial"`
	} `json:"points"`
	Readings []struct {
		Ref   string  `json:"ref"`
		Day   string  `json:"day"`
		Value float64 `json:"value"`
	} `json:"readings"`
}

// Cases reads the cases, by name.
func Cases() ([]Case, error) {
	folders, err := fs.Glob(testdata, "testdata/cases/*/case.json")
	if err != nil {
		return nil, err
	}
	var all []Case
	for _, file := range folders {
		c, err := readCase(file)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		all = append(all, c)
	}
	return all, nil
}

func readCase(file string) (Case, error) {
	var said caseFile
	if err := readJSON(file, &said); err != nil {
		return Case{}, err
	}
	var site siteFile
	if err := readJSON("testdata/sites/"+said.Site+".json", &site); err != nil {
		return Case{}, err
	}
	entries, err := site.entries()
	if err != nil {
		return Case{}, err
	}
	data, err := testdata.ReadFile(path.Join(path.Dir(file), said.File))
	if err != nil {
		return Case{}, err
	}
	c := Case{Name: path.Base(path.Dir(file)), Says: said.Says, Wants: said.Wants}
	c.Listing = Listing{Layout: c.Name, Name: said.File, Data: data, Site: entries, Truth: said.Truth}
	if len(c.Wants) == 0 {
		c.Wants = []Class{Right}
		if len(said.Truth.Open) > 0 {
			c.Wants = []Class{Asked, Refused}
		}
	}
	return c, nil
}

func readJSON(file string, into any) error {
	data, err := testdata.ReadFile(file)
	if err != nil {
		return err
	}
	return json.Unmarshal(data, into)
}

// entries makes the log of a site.
func (f *siteFile) entries() ([]sootline.Entry, error) {
	zone, err := sootline.ZoneNamed(f.Zone)
	if err != nil {
		return nil, err
	}
	s := &site{rng: rand.New(rand.NewPCG(1, 2)), zone: zone, salt: 1}
	s.note(handover.AddDate(0, 0, -3), sootline.ID{}, sootline.Opened{Name: "Mill House", Zone: f.Zone})
	for _, t := range f.Types {
		sheet := sootline.TypeSheet{Name: t.Name, Kind: t.Device}
		if t.High != 0 {
			sheet.Unit, sheet.Bands = f.Unit, []sootline.Band{{Low: &t.Low, High: &t.High}}
		}
		s.note(handover.AddDate(0, 0, -2), sootline.ID{}, sootline.Sheet{TypeSheet: sheet})
	}
	for _, text := range f.Loops {
		ref, err := sootline.ParseRef(text + ".1")
		if err != nil {
			return nil, err
		}
		s.note(handover.AddDate(0, 0, -2), sootline.ID{}, sootline.LoopFacts{
			Panel: ref.Panel, Loop: ref.Loop, First: 1, Last: 126, Unset: 127, Separate: f.Separate,
		})
	}
	points, err := f.fit(s)
	if err != nil {
		return nil, err
	}
	for _, r := range f.Readings {
		y, month, d := parseDay(r.Day).Time().Date()
		s.note(sootline.DayHour(y, month, d, 9, zone), points[r.Ref], sootline.Read{Samples: []float64{r.Value}})
	}
	slices.SortStableFunc(s.entries, func(a, b sootline.Entry) int { return a.At.Compare(b.At) })
	return s.entries, nil
}

// fit fits the points of a site, and gives them by reference.
func (f *siteFile) fit(s *site) (map[string]sootline.ID, error) {
	points := map[string]sootline.ID{}
	for i, p := range f.Points {
		ref, err := sootline.ParseRef(p.Ref)
		if err != nil {
			return nil, err
		}
		id := s.id(handover, uint64(i)+1<<32)
		points[p.Ref] = id
		s.note(handover, id, sootline.Fitted{
			Place: sootline.Place{Panel: ref.Panel, Loop: ref.Loop, Order: i + 1, Zone: p.Zone, Location: p.Place},
			Type:  p.Type, Unit: sootline.Unit{Serial: p.Serial},
		})
		s.note(handover.Add(time.Millisecond), id, sootline.Addressed{Wanted: ref.Number})
	}
	return points, nil
}
