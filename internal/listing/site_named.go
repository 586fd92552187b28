package listing

import (
	"fmt"
	"slices"
	"strings"
)

// siteLabels stand before the name of a site, or above a column of such names. Common practice, no source.
const siteLabels = `
site: site, site name, name of site, object, project, property, premises, customer site, objekt, objektname, projekt, liegenschaft, anlage objekt, bauvorhaben, chantier, objet, projet, etablissement, nom du site, sitio, obra, proyecto, instalacion, emplazamiento del sitio, sito, cantiere, progetto, stabilimento, impianto, locatie naam, project naam, vestiging, complex
`

func (lx *lexicon) learnSites() {
	lx.sites = map[string]bool{}
	eachWord(siteLabels, func(_, word string) { lx.sites[word] = true })
}

// AddSite notes the name of the site itself.
func (k *Known) AddSite(name string) {
	k.site = strings.TrimSpace(name)
	k.AddName(name)
}

// siteIn gives the name of a site behind its label in a title: "Site: Brickworks".
func (lx *lexicon) siteIn(title string) string {
	label, name, found := strings.Cut(title, ":")
	if !found || !lx.sites[fold(label)] {
		return ""
	}
	return strings.Trim(name, " ,;")
}

// isThisSite: a name is that of the site, or one that a person said to be.
func (u *Understanding) isThisSite(name string) bool {
	return fold(name) == fold(u.known.site) || u.profile.Site != "" && fold(name) == fold(u.profile.Site)
}

// titledSite gives the first site that a title or the name of a page has, and whether its words are all of names of the site.
func (s *study) titledSite() (name string, may bool) {
	texts := s.titlesAbove()
	for _, text := range s.t.beside { // "site": "Brickworks" beside the lists of a document
		if key, name, found := strings.Cut(text, " "); found {
			texts = append(texts, key+":"+name)
		}
	}
	for _, row := range s.sample { // "Site;Brickworks" in two cells
		if s.u.HeaderLine == 0 || row.Line >= s.u.HeaderLine {
			break
		}
		if cells := nonEmpty(row.Cells); len(cells) == 2 && s.u.lx.sites[fold(cells[0])] {
			texts = append(texts, cells[0]+":"+cells[1])
		}
	}
	for _, text := range texts {
		if name := s.u.lx.siteIn(text); name != "" && !s.u.isThisSite(name) {
			shares := slices.ContainsFunc(strings.Fields(fold(name)), s.known.isName)
			return name, shares
		}
	}
	return "", false
}

// doubtSite asks where a title or a column names another site than this one.
func (s *study) doubtSite() {
	u := s.u
	if u.Kind == KindUnknown || s.known == nil || s.known.site == "" {
		return
	}
	name, shares := s.titledSite()
	if name == "" {
		name = s.siteOfColumn()
	}
	if name == "" {
		s.doubtStrangeNames()
		return
	}
	says := "the book is of"
	if shares {
		says = "the whole name of this site is"
	}
	u.askOnce(AskSite, fmt.Sprintf("The listing names the site %q, and %s %q. Is it the same site? If not, nothing of it belongs here.", quoteless(name), says, s.known.site),
		Choice{name, fmt.Sprintf("yes, %q is this site", quoteless(name))})
}

// doubtStrangeNames asks about a title that is no more than names which nobody knows: it may be another site's.
func (s *study) doubtStrangeNames() {
	u := s.u
	titles := s.titlesAbove()
	if name := withoutExtension(s.t.Name); strings.Contains(strings.TrimSpace(name), " ") { // a sheet is often named by one word of any kind
		titles = append(titles, name)
	}
	for _, text := range titles {
		if !u.isOfStrangers(text) || u.isThisSite(text) {
			continue
		}
		u.askOnce(AskSite, fmt.Sprintf("The title %q is of names that the book does not know. If it is another site than %q, nothing of the listing belongs here. Is the listing of this site?", quoteless(text), s.known.site),
			Choice{text, "yes, it is of this site"})
		return
	}
}

// isOfStrangers: a title is of one to four words, and none of them is known.
func (u *Understanding) isOfStrangers(title string) bool {
	const most = 4
	words := strings.Fields(fold(title))
	if len(words) == 0 || len(words) > most || len(title) > 100 || u.known.isTold(title) || u.lx.siteIn(title) != "" {
		return false
	}
	for _, word := range words {
		if strings.ContainsAny(word, "0123456789") || !isLetter(word[0]) || u.lx.titleTurns[word] || rowNouns[word] || u.known.isName(word) || u.leavesRows(word, "") || u.lx.isNearTitle(word) {
			return false
		}
	}
	return true
}

// isNearTitle: a word may be a misspelt one of a heading.
func (lx *lexicon) isNearTitle(word string) bool {
	return lx.nearHeading(word, shortestSlip, nil) != ""
}

// findSiteColumn bars a column of names of sites from being a place: one beside a column of places, one of the same name in
// all its rows, or one that has the name of this site.
func (s *study) findSiteColumn() {
	u := s.u
	u.site = -1
	if s.known == nil || s.known.site == "" {
		return
	}
	for i, m := range s.matches {
		c := &s.content[i]
		if m.strength == strengthProfile || !u.lx.sites[fold(u.Columns[i].Heading)] || c.filled == 0 {
			continue
		}
		beside := slices.ContainsFunc(s.matches, func(o match) bool { return o.field == Location && o.word != m.word && o.strength >= strengthNear })
		named := false
		for cell := range c.distinct {
			named = named || u.isThisSite(cell)
		}
		if !named && !beside && (len(c.distinct) > 1 || c.filled < 2 || s.known.isPlace(firstOf(c.distinct))) {
			continue
		}
		u.site = i
		s.barred[i] = "it names the site; a row of another site is not taken"
		s.matches[i] = match{strength: strengthExact}
		return
	}
}

func firstOf(cells map[string]bool) string {
	for cell := range cells {
		return cell
	}
	return ""
}

// siteOfColumn gives the one site that all rows name, where it is not this one.
func (s *study) siteOfColumn() string {
	if s.u.site < 0 {
		return ""
	}
	distinct := s.content[s.u.site].distinct
	if name := firstOf(distinct); len(distinct) == 1 && !s.u.isThisSite(name) {
		return name
	}
	return ""
}

// holdSite refuses a row of another site.
func (r *rowReader) holdSite() {
	if r.u.site < 0 {
		return
	}
	if cell, _ := r.get(slot{column: r.u.site}); cell != "" && !r.u.isThisSite(cell) {
		r.fail(r.u.site, fmt.Sprintf("a row of this site, %q", r.u.known.site), quoteShort(cell), `where that is another name of this site, give it as "site" in a map file`)
	}
}
