package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/papers"
)

// papersPage lists every paper that can be made of a site.
type papersPage struct {
	Frame
	Options      paperOptions
	Sizes, Loops []string
	Sheets       []sheetChoice
	Groups       []paperGroup
	Of           string // of what day and loop they are, in words
	Trouble      string
	WayOut       []wayLine
	Firm         firmLines
	Check        checkLines
}

// paperOptions is what was chosen for all papers, as typed.
type paperOptions struct{ Size, On, From, To, Loop, Point string }

type sheetChoice struct{ Name, Says string }

type paperGroup struct {
	Title  string
	Papers []paperLine
}

// paperLine is a paper with the addresses of its forms.
type paperLine struct {
	Name, Says string
	Forms      []formLink
	Missing    string // what must be chosen first
}

type formLink struct{ Says, Address string }

// firmLines is who hands the papers out.
type firmLines struct {
	Name, Phone string
	Address     []string
	Logo        bool
	File        string
	Trouble     string
}

// checkLines is what the book says of a printed paper's code.
type checkLines struct {
	Code, Trouble  string
	WayOut         []wayLine
	Sure           bool // the entry was found, and nothing before it was altered
	RestsOn, Since string
	Earlier        []storyLine
}

func (s *Server) showPapers(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &papersPage{Frame: Frame{Title: "Papers of " + survey.Register.Site.Name, Survey: survey}, Options: optionsOf(r.URL.Query())}
	for _, size := range paper.Sizes() {
		page.Sizes = append(page.Sizes, size.Name)
	}
	page.Loops = loopNames(survey)
	if page.Sheets, err = sheetChoices(); err != nil {
		return err
	}
	page.Firm = s.firmLines(visitorOf(r).Role.May(sootline.Manager))
	page.Check = s.check(r, survey)
	code := http.StatusOK
	wish, err := s.paperWish(r, survey)
	if err != nil {
		code, page.Trouble, page.WayOut = status(err), sentence(err), wayOut(r, err)
	} else {
		page.Of = ofWhat(wish, page.Options, survey.Zone)
		page.Groups = page.Options.groups(siteAddress(survey))
	}
	return s.show(w, r, code, "papers.html", page)
}

func optionsOf(q url.Values) paperOptions {
	typed := func(name string) string { return strings.TrimSpace(q.Get(name)) }
	return paperOptions{typed("size"), typed("on"), typed("from"), typed("to"), typed("loop"), typed("point")}
}

// query writes the options as the end of an address; what was not chosen is left
// out.
func (o paperOptions) query() string {
	q := url.Values{}
	for _, option := range [][2]string{{"size", o.Size}, {"on", o.On}, {"from", o.From}, {"to", o.To}, {"loop", o.Loop}, {"point", o.Point}} {
		if option[1] != "" {
			q.Set(option[0], option[1])
		}
	}
	if len(q) == 0 {
		return ""
	}
	return "?" + q.Encode()
}

func loopNames(survey *app.Survey) []string {
	var names []string
	for _, loop := range survey.Register.Loops() {
		names = append(names, loop.String())
	}
	return names
}

func sheetChoices() ([]sheetChoice, error) {
	sheets, err := paper.LabelSheets()
	if err != nil {
		return nil, err
	}
	var choices []sheetChoice
	for _, sheet := range sheets {
		choices = append(choices, sheetChoice{sheet.Name, sheetWords(&sheet)})
	}
	return choices, nil
}

func sheetWords(sheet *paper.LabelSheet) string {
	width, height := sheet.Width, sheet.Height
	return number(&width) + " × " + number(&height) + " mm, " + count(sheet.Across*sheet.Down, "label", "labels") + ", " + sheet.Paper.Name
}

// ofWhat says of what day, loop and time the papers are.
func ofWhat(wish papers.Wish, o paperOptions, zone *time.Location) string {
	said := "As of now"
	if o.On != "" {
		said = "As of the end of " + day(wish.On, zone)
	}
	if o.Loop != "" {
		said += ", of loop " + o.Loop + " where a paper goes by loops"
	}
	if o.From+o.To != "" {
		said += ", and what is told of a time from " + cmp.Or(o.From, "the beginning") + " to " + cmp.Or(o.To, "that day")
	}
	return said + "."
}

// groups lists the papers with the options in their addresses.
func (o paperOptions) groups(site string) []paperGroup {
	var groups []paperGroup
	for _, shelf := range paperShelves() {
		group := paperGroup{Title: shelf.title}
		for _, words := range shelf.papers {
			line := paperLine{Name: words.name, Says: words.says}
			if words.kind == "point" && o.Point == "" {
				line.Missing = "Type the point’s number above first, or go by the point’s own page."
			} else {
				line.Forms = formLinks(site, words.kind, o)
			}
			group.Papers = append(group.Papers, line)
		}
		groups = append(groups, group)
	}
	return groups
}

func formLinks(site, kind string, o paperOptions) []formLink {
	var links []formLink
	for _, format := range paper.Formats() {
		if kind == "cards" && format.Name == "csv" {
			continue // cards are no table
		}
		says := strings.ToUpper(format.Name)
		if format.Name == "html" {
			says = "Read here"
		}
		links = append(links, formLink{says, site + "/paper/" + kind + "." + format.Name + o.query()})
	}
	return links
}

// firmLines tells who hands the papers out. Where that is written is for whoever
// looks after the server.
func (s *Server) firmLines(manager bool) firmLines {
	lines := firmLines{}
	if manager {
		lines.File = s.FirmFile
	}
	firm, err := s.firm()
	if err != nil {
		lines.Trouble = sentence(err)
		return lines
	}
	lines.Name, lines.Address, lines.Phone, lines.Logo = firm.Name, firm.Address, firm.Phone, len(firm.Logo) > 0
	return lines
}

func (s *Server) firm() (paper.Firm, error) {
	if s.Firm == nil {
		return paper.Firm{}, nil
	}
	return s.Firm()
}

// check holds the code of a printed paper against the book.
func (s *Server) check(r *http.Request, survey *app.Survey) checkLines {
	lines := checkLines{Code: strings.TrimSpace(r.URL.Query().Get("check"))}
	if lines.Code == "" {
		return lines
	}
	found, err := papers.Verify(r.Context(), s.App, survey.Register.Site.ID, lines.Code)
	switch {
	case err != nil:
		lines.Trouble, lines.WayOut = sentence(err), wayOut(r, err)
	case found.Broken != nil:
		lines.Trouble, lines.WayOut = "The book is not what the paper rests on: "+found.Broken.Error()+".", waysOf("", sootline.Out("put a backup in its place").Do(sootline.RestoreBackup))
	default:
		lines.tell(&found)
	}
	return lines
}

func (c *checkLines) tell(found *papers.Check) {
	e := &found.Entry
	c.Sure = true
	c.RestsOn = "It rests on an entry of this site’s log, " + sootline.Say(e.Body) + ", noted by " + cmp.Or(e.By, "nobody named") + " on " + local(e.Noted, found.Zone) +
		". None of the " + count(found.Lines, "line", "lines") + " up to it was altered."
	switch {
	case found.Since == 0:
		c.Since = "Nothing was noted after it: printed again, the paper would say the same."
	case len(found.Earlier) == 0:
		c.Since = count(found.Since, "entry was", "entries were") + " noted after it, all of later days: for its own day, the paper would say the same."
	default:
		c.Since = count(found.Since, "entry was", "entries were") + " noted after it, " + grouped(len(found.Earlier)) + " of them about days before, so that the paper printed again for its day may differ:"
	}
	const most = 20
	for i := range found.Earlier[:min(most, len(found.Earlier))] {
		late := &found.Earlier[i]
		c.Earlier = append(c.Earlier, storyLine{Day: day(late.At, found.Zone), Says: sootline.Say(late.Body), By: cmp.Or(late.By, "nobody named"), Noted: local(late.Noted, found.Zone)})
	}
}

// codeChoice is a code and edition whose limits are known.
type codeChoice struct {
	Key, Says string
	Current   bool
}

func codeChoices(key string) []codeChoice {
	var choices []codeChoice
	for _, code := range app.AlarmCodes() {
		choices = append(choices, codeChoice{code.Key, code.Name + ", " + code.Edition, strings.EqualFold(code.Key, key)})
	}
	if len(choices) > 0 && !slices.ContainsFunc(choices, func(c codeChoice) bool { return c.Current }) {
		choices[0].Current = true
	}
	return choices
}

// endOf reads a day and gives its last instant on the site's clock; nothing is
// the zero time.
func endOf(text string, zone *time.Location) (time.Time, error) {
	if text = strings.TrimSpace(text); text == "" {
		return time.Time{}, nil
	}
	return sootline.ParseDayEnds(text, zone)
}
