package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// judgedOnPhone is what the phone says of samples.
type judgedOnPhone struct {
	Value    float64  `json:"value"`
	Verdict  string   `json:"verdict"`
	Spread   *float64 `json:"spread"`
	Unsteady bool     `json:"unsteady"`
}

// TestPhoneJudgesAlike judges 3,000 looks on the phone and by internal/judge: bands
// with two ends, one or none, limits of spread or none, values on the very limits.
func TestPhoneJudgesAlike(t *testing.T) {
	s := newServer(t, nil)
	site, samples := manyLooks(t, s)
	b := visit(t, s)
	openAt(t, b, site, nil)
	pack := packOf(t, b, site)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.Navigate(address+"/capture"))
	type look struct {
		Point   shape.PackPoint `json:"point"`
		Samples []float64       `json:"samples"`
	}
	looks := make([]look, len(pack.Points))
	for i, p := range pack.Points {
		looks[i] = look{p, samples[p.ID]}
	}
	text, err := json.Marshal(looks)
	if err != nil {
		t.Fatal(err)
	}
	said := get(t, ctx, chromedp.Evaluate[[]judgedOnPhone](string(text)+`.map(l => VisitJudge.judge(l.point, l.samples))`))
	survey := surveyOf(t, s)
	verdicts, unsteady := map[string]int{}, 0
	for i, p := range pack.Points {
		id, err := sootline.ParseID(p.ID)
		if err != nil {
			t.Fatal(err)
		}
		want := survey.Judgement(survey.Register.Point(id))
		got := said[i]
		verdicts[got.Verdict]++
		if got.Unsteady {
			unsteady++
		}
		sameSpread := (got.Spread == nil) == (want.Spread == nil) && (got.Spread == nil || math.Abs(*got.Spread-*want.Spread) <= 1e-12*math.Abs(*want.Spread)+1e-12)
		if got.Value != want.Value || got.Verdict != string(want.Verdict) || got.Unsteady != want.Unsteady || !sameSpread {
			t.Fatalf("samples %v in %v to %v, spread at most %v: the phone says %+v; judge says %v, %s, %v, %v", looks[i].Samples, number(p.Low), number(p.High), number(p.Spread), got, want.Value, want.Verdict, number(want.Spread), want.Unsteady)
		}
	}
	for _, v := range []string{"inside", "above", "below", "no band"} {
		if verdicts[v] < 50 {
			t.Errorf("only %d looks are %s", verdicts[v], v)
		}
	}
	if unsteady < 50 {
		t.Errorf("only %d looks are unsteady", unsteady)
	}
	t.Logf("%d looks: %v, %d unsteady", len(said), verdicts, unsteady)
}

// manyLooks makes a site of 3,000 points with one look at each, and gives the samples.
func manyLooks(t *testing.T, s *Server) (site string, samples map[string][]float64) {
	t.Helper()
	chance := rand.New(rand.NewPCG(11, 12))
	id := sootline.DerivedID(today, []byte("looks"))
	samples = map[string][]float64{}
	entry := func(n int, point sootline.ID, body sootline.Body) sootline.Entry {
		at := today.AddDate(0, 0, -1)
		return sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, n, body.Kind())), Site: id, At: at, Noted: at, By: "A. Tech", Station: "laptop", Point: point, Body: body}
	}
	err := s.App.Book.Write(context.Background(), func(tx *store.Tx) error {
		if err := tx.PutSite(id, "Looks"); err != nil {
			return err
		}
		return tx.Append(id, "laptop", func(w *store.Writer) error {
			for k := range 40 {
				if err := w.Add(entry(k, sootline.ID{}, sootline.Sheet{TypeSheet: anySheet(k, chance)})); err != nil {
					return err
				}
			}
			for n := range 3000 {
				point := sootline.DerivedID(today, fmt.Append(nil, "look", n))
				place := sootline.Place{Panel: "1", Loop: fmt.Sprint(1 + n/126), Order: 1 + n%126}
				read := sootline.Read{Samples: someSamples(chance)}
				samples[point.String()] = read.Samples
				for _, body := range []sootline.Body{sootline.Fitted{Place: place, Type: fmt.Sprint("Type ", n%40)}, sootline.Addressed{Wanted: 1 + n%126}, read} {
					if err := w.Add(entry(n, point, body)); err != nil {
						return err
					}
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	return "/site/" + id.String(), samples
}

func anySheet(k int, chance *rand.Rand) sootline.TypeSheet {
	low, high, spread := float64(15+chance.IntN(10)), float64(30+chance.IntN(10)), 0.5+2*chance.Float64()
	sheet := sootline.TypeSheet{Name: fmt.Sprint("Type ", k), Kind: sootline.Smoke}
	switch k % 5 {
	case 0:
		sheet.Bands = []sootline.Band{{Low: &low}}
	case 1:
		sheet.Bands = []sootline.Band{{High: &high}}
	case 2, 3:
		sheet.Bands = []sootline.Band{{Low: &low, High: &high}}
	}
	if k%3 > 0 {
		sheet.SpreadLimit = &spread
	}
	return sheet
}

// someSamples are whole, in tenths, or any; few or many, close or wild.
func someSamples(chance *rand.Rand) []float64 {
	centre, wide := 10+30*chance.Float64(), 4*chance.Float64()*float64(chance.IntN(3))
	all := make([]float64, 1+chance.IntN(7))
	digits := []float64{1, 10, 1e9}[chance.IntN(3)]
	for i := range all {
		all[i] = math.Round(digits*(centre+wide*chance.NormFloat64())) / digits
	}
	return all
}
