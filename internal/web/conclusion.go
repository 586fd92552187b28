package web

import "sootline"

// conclusion is what a page comes to and what to do next: it stands first on the page, before the evidence.
type conclusion struct {
	Mark string    // the form of how it stands; empty: none
	Says string    // one sentence; empty: the page has no conclusion
	Next *nextStep // nil: nothing to do, or whoever looks may not
	Why  string    // what it rests on; empty: no more than that
	Off  bool      // it is out of use, which has a colour of its own
	Live bool      // a form on the page changes it while somebody types
}

// nextStep is the main act of a page: it leads to where the act is done.
type nextStep struct {
	Says, Address string
	needs         sootline.Role // who may do it; empty: whoever sees the page
}

// concluding is a page that says what it comes to.
type concluding interface{ concludes() conclusion }

// conclude asks a page for its conclusion, and keeps the next step from whom it would be refused.
func (f *Frame) conclude(page framed, v visitor) {
	c, ok := page.(concluding)
	if !ok {
		return
	}
	f.Conclusion = c.concludes()
	if next := f.Conclusion.Next; next != nil && next.needs != "" && (!v.Role.May(next.needs) || v.byKey) {
		f.Conclusion.Next = nil
	}
}
