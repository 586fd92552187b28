package web

import (
	"cmp"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
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
	Issued       []issuedLine
	code         int
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
	Issue, ID  string // the address of the form that issues it, and its entry
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
	File           string // what is known of the file
	Earlier        []storyLine
}

func (s *Server) showPapers(w http.ResponseWriter, r *http.Request) error {
	page, survey, err := s.papersPage(r)
	if err != nil {
		return err
	}
	page.Check = s.check(r, survey, r.URL.Query().Get("check"), nil)
	return s.show(w, r, page.code, "papers.html", page)
}

// checkPaper holds a paper's code, and its file, against the book.
func (s *Server) checkPaper(w http.ResponseWriter, r *http.Request) error {
	page, survey, err := s.papersPage(r)
	if err != nil {
		return err
	}
	up, err := s.receive(w, r)
	if err != nil {
		return err
	}
	var file []byte
	if len(up.names) > 0 {
		if file, err = os.ReadFile(filepath.Join(up.folder, up.names[0])); err != nil {
			return dropping(up.folder, err)
		}
	}
	if err := os.RemoveAll(up.folder); err != nil {
		return err
	}
	page.Check = s.check(r, survey, up.fields["check"], file)
	return s.show(w, r, http.StatusOK, "papers.html", page)
}

// papersPage gives the page of a site's papers, before a code is held against it.
func (s *Server) papersPage(r *http.Request) (*papersPage, *app.Survey, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, nil, err
	}
	page := &papersPage{Frame: Frame{Title: "Papers of " + survey.Register.Site.Name, Survey: survey}, Options: optionsOf(r.URL.Query()), code: http.StatusOK}
	for _, size := range paper.Sizes() {
		page.Sizes = append(page.Sizes, size.Name)
	}
	page.Loops = loopNames(survey)
	if page.Sheets, err = sheetChoices(); err != nil {
		return nil, nil, err
	}
	page.Firm = s.firmLines(visitorOf(r).Role.May(sootline.Manager))
	page.Issued = issuedLines(survey)
	wish, err := s.paperWish(r, survey)
	if err != nil {
		page.code, page.Trouble, page.WayOut = status(err), sentence(err), wayOut(r, err)
	} else {
		page.Of = ofWhat(wish, page.Options, survey.Zone)
		page.Groups = page.Options.groups(siteAddress(survey), s.newID)
	}
	return page, survey, nil
}

// issuedLine is a paper that was issued.
type issuedLine struct{ At, Paper, Day, By, Code string }

func issuedLines(survey *app.Survey) []issuedLine {
	var lines []issuedLine
	for _, e := range papers.Register(survey.Register) {
		said, _ := e.Body.(sootline.Issued)
		lines = append(lines, issuedLine{local(e.Noted, survey.Zone), said.Paper, said.Day, cmp.Or(e.By, "nobody named"), said.Code})
	}
	return lines
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
func (o paperOptions) groups(site string, newID func() string) []paperGroup {
	var groups []paperGroup
	for _, shelf := range paperShelves() {
		group := paperGroup{Title: shelf.title}
		for _, words := range shelf.papers {
			line := paperLine{Name: words.name, Says: words.says}
			if words.kind == "point" && o.Point == "" {
				line.Missing = "Type the point’s number above first, or go by the point’s own page."
			} else {
				line.Forms = formLinks(site, words.kind, o)
				line.Issue, line.ID = site+"/paper/"+words.kind+".pdf"+o.query(), newID()
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

// check holds a paper against the book: by its code, and by its file where one was
// handed in.
func (s *Server) check(r *http.Request, survey *app.Survey, code string, file []byte) checkLines {
	lines := checkLines{Code: strings.TrimSpace(code)}
	if lines.Code == "" {
		return lines
	}
	found, err := papers.Verify(r.Context(), s.as(r), survey.Register.Site.ID, lines.Code, file)
	switch {
	case err != nil:
		lines.Trouble, lines.WayOut = s.told(visitorOf(r), err), wayOut(r, err)
	case found.Broken != nil:
		lines.Trouble, lines.WayOut = "The book is not what the paper rests on: "+found.Broken.Error()+".", waysOf("", sootline.Out("put a backup in its place").Do(sootline.RestoreBackup))
	default:
		lines.tell(&found)
	}
	return lines
}

func (c *checkLines) tell(found *papers.Check) {
	c.Sure = true
	if e := found.Entry; e != nil {
		c.RestsOn = "It is a draft, or older than issued papers. It rests on an entry of this site’s log, " + sootline.Say(e.Body) + ", noted by " + cmp.Or(e.By, "nobody named") + " on " +
			local(e.Noted, found.Zone) + ". None of the " + count(found.Lines, "line", "lines") + " up to it was altered. What a draft says is not in the book: hold it against one printed anew."
	}
	for _, e := range found.Issued {
		said, _ := e.Body.(sootline.Issued)
		c.RestsOn += "The paper " + said.Paper + " of " + said.Day + " was issued by " + cmp.Or(e.By, "nobody named") + " on " + local(e.Noted, found.Zone) + ". "
	}
	if len(found.Issued) > 0 {
		c.RestsOn += "None of the " + count(found.Lines, "line", "lines") + " that it rests on was altered."
	}
	switch {
	case found.Same != nil:
		c.File = "The file is the one that was issued, to the last byte."
	case found.File:
		c.Sure, c.Trouble = false, "The file is not a paper that was issued under this code."
	case len(found.Issued) > 0:
		c.File = "Whether a paper under this code says what was issued, only its file shows."
	}
	c.since(found)
}

func (c *checkLines) since(found *papers.Check) {
	switch {
	case found.Since == 0:
		c.Since = "Nothing was noted after it: made again, the paper would say the same."
	case len(found.Earlier) == 0:
		c.Since = count(found.Since, "entry was", "entries were") + " noted after it, none about its time: its record has not changed."
	default:
		c.Since = count(found.Since, "entry was", "entries were") + " noted after it. Its record has changed since, by " + grouped(len(found.Earlier)) + " of them, so that the paper made again for its day may differ:"
	}
	const most = 20
	for _, late := range found.Earlier[:min(most, len(found.Earlier))] {
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
