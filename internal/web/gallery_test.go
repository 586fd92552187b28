package web

import (
	"bytes"
	"flag"
	"html/template"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
)

// gallery is every part of the pages in every state, on one page that nobody is served.
type gallery struct {
	Frame
	Verdicts, Weights, None, Many []string
	Long                          string
	Ways                          []wayLine
	Conclusions                   []galleryConclusion
	Done, DoneMany, DoneGone      *doneNotice
	Tables                        []galleryTable
	Defects                       []galleryDefects
	Questions                     []questionLines
	Forms                         []*settingForm
	Steps                         []stepForm
	Drawing                       *drawing
}

type galleryConclusion struct {
	Name string
	Of   conclusion
}

type galleryTable struct {
	Name string
	Of   *pointsPage
}

type galleryDefects struct {
	Name string
	Of   []defectLine
}

const (
	galleryLong = "The cable between the two towers was found laid along another way than the drawing says, which nobody had written down since the works of the spring before last"
	galleryWord = "Oberflächenbehandlungsanlagenvorraum-Zwischendeckenbereich-Nordwestseite"
)

func galleryOf(s *Server, d *drawing) *gallery {
	g := &gallery{
		Frame: Frame{Title: "Gallery"}, Verdicts: []string{"above", "below", "inside", "clean at visit", "replace", "look again", "no band"},
		Weights: []string{"note", "warning", "serious", "critical"}, Long: galleryLong + ".", Many: []string{"The cable is of 1.5 mm².", galleryLong + "."},
		Ways:    []wayLine{{"Do it on its page.", "#g-notices", "Settings"}},
		Done:    &doneNotice{Address: "#", Says: []string{"1.1.004 cleaned"}},
		Drawing: d, DoneGone: &doneNotice{Address: "#", Says: []string{"1.1.004 cleaned"}, Gone: true},
		DoneMany: &doneNotice{Address: "#", Says: []string{"1.1.004 moved", "1.1.005 moved", galleryLong, "1.1.007 moved"}, More: 6, Undone: true},
	}
	next := &nextStep{Says: "What comes next", Address: "#g-conclusion"}
	g.Conclusions = []galleryConclusion{
		{"Plain", conclusion{Says: "No defect is open."}},
		{"With its next step", conclusion{Mark: "▲", Says: "61, above its band: clean now.", Next: next, Why: "It left its band in March."}},
		{"Out of use", conclusion{Off: true, Says: "Disabled since 2026-01-15: works in the room.", Next: next}},
		{"Long", conclusion{Mark: "○", Says: galleryLong + ", " + galleryWord + ".", Next: &nextStep{Says: galleryLong, Address: "#g-conclusion"}, Why: galleryLong + "."}},
	}
	g.Tables = []galleryTable{{"Empty", galleryPoints(s, 0)}, {"One", galleryPoints(s, 1)}, {"Many, long texts among them", galleryPoints(s, 12)}}
	line := defectLine{Name: "D-1", Address: "#", Grade: "serious", State: "open", What: "fault, loose base", Where: "1.1.039", PointAddress: "#", Since: "2025-02-13"}
	long := line
	long.What, long.Where, long.Needs, long.Grade, long.State, long.Turned = galleryLong, galleryWord, galleryLong, "critical", "mended", "2025-03-01"
	g.Defects = []galleryDefects{{"Empty", nil}, {"One", []defectLine{line}}, {"Many", []defectLine{line, long, line}}}
	asked := questionLines{Key: "g1", Kind: "cleaned", Address: "#", Points: []pointLink{{"1.1.004", "#"}}, Evidence: []string{"Its value fell from 44 to 27."}, Question: "Was it cleaned?", CanSayYes: true, From: "2025-01-01", To: "2025-06-01"}
	wrong := asked
	wrong.Kind = "replaced"
	wrong.Key, wrong.Trouble, wrong.At, wrong.Question, wrong.Evidence = "g2", "That day is after the end.", "2027-01-01", galleryLong+"?", []string{galleryLong, galleryWord}
	g.Questions = []questionLines{asked, wrong}
	g.Forms, g.Steps = galleryForms(), gallerySteps(s)
	return g
}

// galleryPoints is a table of so many points, every third of them with long texts.
func galleryPoints(s *Server, n int) *pointsPage {
	page := &pointsPage{ID: s.newID(), All: n, Writes: n != 1, Heads: sortHeads(map[string][]string{}, pointHeads()), Home: takeHome{"#", "#"}}
	for i := range n {
		row := &pointRow{Ref: "1.1." + strconv.Itoa(100+i), Address: "#g-points", Place: "Landing " + strconv.Itoa(i), Type: "Larch", Value: "27", Band: "18 to 36", Verdict: "inside", Action: "leave", Drift: "+0.4", Leaves: "about 2030", ID: s.newID(), Off: i == 4}
		if i%3 == 1 {
			row.Place, row.Type, row.Value, row.Verdict, row.Action = galleryLong, galleryWord, "61.25 counts", "above", "clean now"
		}
		page.Rows = append(page.Rows, row)
	}
	if page.Page, page.Pages = 1, 1; n > 1 {
		page.Page, page.Pages, page.Earlier, page.Later = 2, 3, "#", "#"
	}
	return page
}

func galleryForms() []*settingForm {
	fields := []fieldGroup{{"What it is", []formField{{Name: "a", Label: "Name", Value: "Works"}, {Name: "b", Label: galleryLong, Hint: "as it is"}, {Name: "c", Label: "Sure", Tick: true}, {Name: "d", Label: "Order", Choices: []choiceLine{{"1", "by number", true}, {"2", galleryLong, false}}}}}}
	return []*settingForm{
		{Name: "g1", Title: "A form", Address: "#", Groups: fields},
		{Name: "g2", Title: "A form that is wrong", Address: "#", Groups: fields, Trouble: galleryLong + ".", Note: "Why it is asked."},
		{Name: "g3", Title: "A form of somebody else", Address: "#", Groups: fields, Locked: true},
	}
}

func gallerySteps(s *Server) []stepForm {
	form := s.newStepForm(sootline.MendedKind, "#")
	wrong := s.newStepForm(sootline.RetestedKind, "#")
	wrong.Trouble, wrong.Doubted = "It needs how it went.", true
	return []stepForm{form, wrong}
}

// galleryPage draws the gallery in the frame of all pages.
func galleryPage(t *testing.T, s *Server, d *drawing) []byte {
	t.Helper()
	frame, err := template.New("frame.html").Funcs(s.words()).ParseFS(pageFiles, "page/frame.html", "page/part_*.html")
	if err == nil {
		frame, err = frame.ParseFiles("testdata/gallery.html")
	}
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := frame.ExecuteTemplate(&page, "frame.html", galleryOf(s, d)); err != nil {
		t.Fatal(err)
	}
	return numbered(numbered(page.Bytes(), "Table of points"), "Pages of the table")
}

// numbered tells apart what stands on a page once and in the gallery several times.
func numbered(page []byte, label string) []byte {
	for n := 1; bytes.Contains(page, []byte(`aria-label="`+label+`"`)); n++ {
		page = bytes.Replace(page, []byte(`aria-label="`+label+`"`), []byte(`aria-label="`+label+" "+strconv.Itoa(n)+`"`), 1)
	}
	return page
}

// TestGallery draws every part in every state: tags are balanced and every field has its label. With -update the page lies at
// build/gallery.html, with its style in it, to be looked at.
func TestGallery(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	page := galleryPage(t, s, drawingOf(survey.History(aSmokePoint(t, survey)), "history"))
	for _, fault := range htmlFaults(string(page)) {
		if fault != "id conclusion is used twice" { // each page has one; here are all
			t.Error(fault)
		}
	}
	if given := flag.Lookup("update"); given == nil || given.Value.String() != "true" {
		return
	}
	style, err := os.ReadFile("static/sootline.css")
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.Replace(string(page), "</head>", "<style>"+string(style)+"</style></head>", 1)
	if err := os.MkdirAll("../../build", 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join("../../build", "gallery.html"), []byte(whole), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestGalleryOnScreens looks at the gallery in both looks, on phone and desk, at 320 px and with text of twice the size: axe finds
// nothing, nothing stands past the side, and what is pressed is 24 px at least (WCAG 2.2, 2.5.8, from memory).
func TestGalleryOnScreens(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	page := galleryPage(t, s, drawingOf(survey.History(aSmokePoint(t, survey)), "history"))
	needBrowser(t)
	shown := http.NewServeMux()
	shown.HandleFunc("GET /gallery", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if _, err := w.Write(page); err != nil {
			t.Error(err)
		}
	})
	shown.Handle("/", s)
	ctx, _ := openBrowser(t, s)
	server := httptest.NewServer(shown)
	t.Cleanup(server.Close)
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(server.URL+"/gallery"), chromedp.WaitVisible("h1"))
	look(t, ctx, "gallery")
	do(t, ctx, chromedp.EmulateViewport(360, 740))
	if small := get(t, ctx, chromedp.Evaluate[string](smallTargets)); small != "" {
		t.Errorf("too small to press: %s", small)
	}
	for _, screen := range [][2]int64{{360, 200}, {320, 100}} {
		do(t, ctx, chromedp.EmulateViewport(screen[0], 740))
		get(t, ctx, chromedp.Evaluate[any](`document.documentElement.style.fontSize = "`+strconv.FormatInt(screen[1], 10)+`%"`))
		if past := get(t, ctx, chromedp.Evaluate[string](pastTheSide)); past != "" {
			t.Errorf("%d px, text at %d %%: %s", screen[0], screen[1], past)
		}
	}
}

// smallTargets names what is pressed and is smaller than 24 by 24 px, but for links in running text.
const smallTargets = `[...document.querySelectorAll("main a[href], main button, main input:not([type=hidden]), main select, main summary")].filter(e => {
	const box = e.getBoundingClientRect();
	if (!e.checkVisibility() || box.width < 2) return false;
	if (e.matches("a") && getComputedStyle(e).display === "inline") return false;
	if (e.closest("label") && e.closest("label").getBoundingClientRect().height >= 24) return false;
	return box.height < 23.5 || box.width < 23.5;
}).map(e => e.tagName + " " + e.textContent.trim().slice(0, 30)).join("; ")`
