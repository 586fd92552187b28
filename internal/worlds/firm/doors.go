package firm

import "context"

// Door is a way in, as a test adapts it: pages, API, phone, token, calendar. A phone and a
// token are asked with what was given out by the person.
type Door interface {
	// Routes names every route and operation of the door. One that is about a site is
	// asked with each site; any other with the first alone.
	Routes() (ofSite, others []string)
	// Ask gives all that is answered, headers and words of refusal too. A route that
	// writes is asked to write something that holds no mark.
	Ask(ctx context.Context, p *Somebody, route string, site MarkedSite) (answer []byte, err error)
}

// Isolated asks every route as every person about every site, and tells of each answer
// that holds a mark which that person may not see, and of each mark of a site that a
// person may see and that no answer showed: at a door that says nothing no leak can be
// found. Marks of kinds that the door never shows to anybody are named in hidden. It
// gives how many answers were looked through.
func (w *Marked) Isolated(ctx context.Context, t Teller, door Door, hidden ...What) int {
	t.Helper()
	ofSite, others := door.Routes()
	asked := 0
	for i := range w.People {
		p := &w.People[i]
		var answers [][]byte
		ask := func(route string, site MarkedSite) {
			answer, err := door.Ask(ctx, p, route, site)
			if err != nil {
				t.Errorf("%s, as %s of %s: %v", route, p.Sees.Kind, p.Firm, err)
				return
			}
			asked++
			answers = append(answers, answer)
			for _, leak := range w.Leaks(answer, p) {
				t.Errorf("%s about %s of %s, as %s of %s: it holds the %s", route, site.Name, site.Firm, p.Sees.Kind, p.Firm, leak)
			}
		}
		for _, route := range others {
			ask(route, w.Sites[0])
		}
		for _, route := range ofSite {
			for _, site := range w.Sites {
				ask(route, site)
			}
		}
		w.tellUnseen(t, p, answers, hidden)
	}
	return asked
}

func (w *Marked) tellUnseen(t Teller, p *Somebody, answers [][]byte, hidden []What) {
	t.Helper()
	never := map[What]bool{AccountMark: true, JournalMark: true} // of no site: whoever calls asks for them where they are shown
	for _, what := range hidden {
		never[what] = true
	}
	for _, m := range w.Unseen(answers, p) {
		if !never[m.What] {
			t.Errorf("%s of %s may see the %s of %s %s, and no answer shows it: the search is blind there", p.Sees.Kind, p.Firm, m.What, m.Firm, m.Site)
		}
	}
}
