package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// searchPage tells where in the book something is.
type searchPage struct {
	Frame
	Words   string
	Sites   []pointLink // whose name has the words, the first few
	Groups  []foundAt
	Points  int
	Paper   string // the address where a paper of this code is looked up
	Left    int    // sites that were not looked through, for want of time
	Nothing bool

	MoreSites int
	AllSites  string // their address
}

// foundAt is what a site has of what was looked for.
type foundAt struct {
	Site, Address, All string
	Rows               []*pointRow
	More               int
}

// mostFoundHere and mostFoundThere are how many points a search shows of the site that
// one looks from, and of each other one.
const mostFoundHere, mostFoundThere = 30, 5

// mostSitesFound and mostSearched are how many sites a search names, and through how many
// it looks for points.
const mostSitesFound, mostSearched = 20, 200

// showSearch finds sites by their names, and looks for points through the sites that
// whoever asks may see: first the one that they look from, then those where most is at
// stake, as far as there is time.
func (s *Server) showSearch(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	page := &searchPage{Frame: Frame{Title: "Search"}, Words: strings.TrimSpace(q.Get("q"))}
	page.Find = page.Words
	if err := s.findSites(r, page); err != nil {
		return err
	}
	here, err := sootline.ParseID(q.Get("site"))
	if err != nil {
		here = sootline.ID{}
	}
	lines, all, err := s.searched(r, here)
	if err != nil {
		return err
	}
	if err := s.search(r, page, lines, here); err != nil {
		return err
	}
	if page.Words != "" {
		page.Left += all - len(lines)
	}
	page.Nothing = page.Words != "" && len(page.Sites)+len(page.Groups) == 0 && page.Paper == ""
	return s.show(w, r, http.StatusOK, "search.html", page)
}

// findSites names the sites whose names have the words.
func (s *Server) findSites(r *http.Request, page *searchPage) error {
	list := store.HeadList{Words: strings.Fields(page.Words), Most: mostSitesFound}
	if len(list.Words) == 0 {
		return nil
	}
	found, err := s.as(r).SiteHeads(r.Context(), list)
	if err != nil {
		return err
	}
	all, err := s.as(r).CountSites(r.Context(), list)
	if err != nil {
		return err
	}
	for i := range found {
		page.Sites = append(page.Sites, pointLink{found[i].Name, "/site/" + found[i].ID.String()})
	}
	page.MoreSites, page.AllSites = max(0, all-len(found)), "/?q="+queryWord(page.Words)
	return nil
}

// searched gives the sites to look through, the one that one looks from first, and how many
// there are.
func (s *Server) searched(r *http.Request, here sootline.ID) (lines []store.SiteLine, all int, err error) {
	all, err = s.as(r).CountSites(r.Context(), store.HeadList{})
	if err != nil {
		return nil, 0, err
	}
	if line, err := s.as(r).SiteOf(r.Context(), here); err == nil && line != nil { // what is wrong with it, its pages tell
		lines = append(lines, *line)
	}
	heads, err := s.as(r).SiteHeads(r.Context(), store.HeadList{Most: mostSearched})
	for i := range heads {
		if heads[i].ID != here {
			lines = append(lines, heads[i].SiteLine)
		}
	}
	return lines, all, err
}

func foremost(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func (s *Server) search(r *http.Request, page *searchPage, lines []store.SiteLine, here sootline.ID) error {
	words := strings.Fields(strings.ToLower(page.Words))
	until := time.Now().Add(patience)
	for i, line := range lines {
		if len(words) == 0 && line.ID != here {
			continue
		}
		if i > 0 && time.Now().After(until) {
			page.Left++
			continue
		}
		survey, rows, err := s.surveyAt(r.Context(), line)
		if err != nil {
			if r.Context().Err() != nil {
				return err
			}
			page.Left++ // Today tells what is wrong with it
			continue
		}
		if line.ID == here {
			page.Survey = survey
		}
		most := mostFoundThere
		if line.ID == here || len(lines) == 1 {
			most = mostFoundHere
		}
		if page.Paper == "" && isPaperCode(page.Words) && (line.ID == here || len(lines) == 1) {
			page.Paper = siteAddress(survey) + "/papers?check=" + queryWord(page.Words)
		}
		page.add(r, survey, rows, words, most)
	}
	return nil
}

// add gathers the points of a site that have all of the words.
func (p *searchPage) add(r *http.Request, survey *app.Survey, rows func() []*pointRow, words []string, most int) {
	if len(words) == 0 || survey.Judge(r.Context()) != nil {
		return
	}
	at := foundAt{Site: survey.Register.Site.Name, Address: siteAddress(survey), All: siteAddress(survey) + "/points?q=" + queryWord(p.Words)}
	var found []*pointRow
	for _, row := range rows() {
		if hasAll(row.search, words) {
			found = append(found, row)
		}
	}
	slices.SortStableFunc(found, func(a, b *pointRow) int {
		return foremost(hasWhole(b.search, words)) - foremost(hasWhole(a.search, words))
	})
	p.Points += len(found)
	at.Rows, at.More = found[:min(most, len(found))], max(0, len(found)-most)
	if len(at.Rows) > 0 {
		p.Groups = append(p.Groups, at)
	}
}

// hasWhole reports whether each of the words stands in a text as a word of its own: who
// looks for landing 9 means not landing 99.
func hasWhole(text string, words []string) bool {
	own := strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' })
	return !slices.ContainsFunc(words, func(word string) bool { return !slices.Contains(own, word) })
}

// hasAll reports whether a text has every one of the words.
func hasAll(text string, words []string) bool {
	return !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(text, word) })
}

// isPaperCode reports whether a text looks like the code of a paper: letters and figures
// in groups of four.
func isPaperCode(text string) bool {
	groups := strings.Split(text, "-")
	return len(groups) > 2 && !slices.ContainsFunc(groups, func(g string) bool { return len(g) != 4 })
}
