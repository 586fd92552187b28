package web

import (
	"bytes"
	"fmt"
	"slices"

	"sootline"
)

// judged is what the log said of the target of an amendment before it was asked for.
type judged struct {
	target *sootline.Entry
	whose  string
	chain  []*sootline.Entry // the target, and what it amends itself
}

// judge says whose the target of an act is, as the table of rights tells targets
// apart.
func (p *played) judge(a asked) judged {
	if a.What == "write" {
		return judged{}
	}
	j := judged{target: p.find(a.target)}
	for e := j.target; e != nil; e = p.find(sootline.Amends(e.Body)) {
		j.chain = append(j.chain, e)
		if sootline.Amends(e.Body).Zero() {
			break
		}
	}
	if j.target == nil {
		return j
	}
	own := j.target.By == a.Person
	if a.Door == "phone" {
		own = j.target.Station == p.rightsStation(a)
	}
	switch standing := p.standing(a.target, map[sootline.ID]bool{}); {
	case standing != nil && p.roleOf(standing.By) == "manager":
		j.whose = "one that a manager amended"
	case own:
		j.whose = "own"
	case p.roleOf(j.target.By) == "manager":
		j.whose = "a manager's"
	default:
		j.whose = "another technician's"
	}
	return j
}

func (p *played) rightsStation(a asked) string {
	if a.Door == "phone" {
		return p.station[a.Person]
	}
	return "laptop"
}

// roleOf is the role of an author; whoever is no person counts as a manager.
func (p *played) roleOf(name string) string {
	if role := p.roles[name]; role != "" {
		return role
	}
	return "manager"
}

// standing is the amendment of an entry that counts: of those that were not taken back
// themselves, none of which another saw, the one noted last.
func (p *played) standing(of sootline.ID, walked map[sootline.ID]bool) *sootline.Entry {
	var all, hold []*sootline.Entry
	for _, id := range p.written {
		e := p.find(id)
		if e == nil || sootline.Amends(e.Body) != of || walked[id] {
			continue
		}
		walked[id] = true
		all = append(all, e)
		if by := p.standing(id, walked); by == nil || by.Body.Kind() != sootline.WithdrawnKind {
			hold = append(hold, e)
		}
	}
	var last *sootline.Entry
	for _, e := range hold {
		if slices.ContainsFunc(hold, func(other *sootline.Entry) bool { return sees(all, other, e.ID) }) {
			continue
		}
		if last == nil || e.Noted.After(last.Noted) || e.Noted.Equal(last.Noted) && bytes.Compare(e.ID[:], last.ID[:]) > 0 {
			last = e
		}
	}
	return last
}

// sees says that an amendment was written in sight of another, itself or by one that it saw. What is written at a door
// sees only what is there, so that there is no circle.
func sees(all []*sootline.Entry, e *sootline.Entry, id sootline.ID) bool {
	var seen []sootline.ID
	switch body := e.Body.(type) {
	case sootline.Corrected:
		seen = body.Seen
	case sootline.Withdrawn:
		seen = body.Seen
	}
	return slices.ContainsFunc(seen, func(s sootline.ID) bool {
		return s == id || slices.ContainsFunc(all, func(other *sootline.Entry) bool { return other.ID == s && sees(all, other, id) })
	})
}

// mayHave says why an entry may not be in the log, by the table of rights; nothing
// where it may.
func (p *played) mayHave(a asked, j judged, e *sootline.Entry) string {
	right := func(kind, act, target string) bool { return p.may[[5]string{kind, act, target, a.Role, a.Door}] }
	kind := string(e.Body.Kind())
	switch {
	case e.By != a.Person || e.Station != p.rightsStation(a):
		return fmt.Sprintf("it is by %s at station %s", e.By, e.Station)
	case !right(kind, "write", "-"):
		return "the actor may not write this kind"
	case a.What == "write":
		return ""
	case j.target == nil:
		return "it amends what is not there"
	case !right(string(j.target.Body.Kind()), a.What, j.whose):
		return fmt.Sprintf("the actor may not %s %s of kind %s", a.What, j.whose, j.target.Body.Kind())
	}
	for _, below := range j.chain {
		if !right(string(below.Body.Kind()), "write", "-") {
			return fmt.Sprintf("it changes what holds of an entry of kind %s, which the actor may not write", below.Body.Kind())
		}
	}
	if c, ok := e.Body.(sootline.Corrected); ok && !right(string(c.Body.Kind()), "write", "-") {
		return fmt.Sprintf("it makes it a %s, which the actor may not write", c.Body.Kind())
	}
	return ""
}
