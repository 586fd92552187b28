package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"sootline"
)

// TestPagesAreWhole parses every page: tags are balanced, ids are used once,
// what names an id finds it, every field has a label, and nothing is inline that
// the policy would refuse.
func TestPagesAreWhole(t *testing.T) {
	empty := newServer(t, nil)
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	pages := map[string]string{
		"empty": visit(t, empty).get("/"), "today": visit(t, s).get("/"), "site": visit(t, s).get(site), "points": visit(t, s).get(site + "/points"),
		"none": visit(t, s).get(site + "/points?q=nothing-like-it"), "questions": visit(t, s).get(site + "/questions"), "loop": visit(t, s).get(site + "/loop"), "sign in": visit(t, s).get("/sign-in"),
		"intake": visit(t, s).get(site + "/intake"), "numbers": visit(t, s).get(site + "/numbers"), "plan": visit(t, s).get(site + "/numbers/plan?afresh=1&even=1"),
		"order": visit(t, s).get(site + "/numbers/order"), "cards": visit(t, s).get(site + "/numbers/cards"), "found": visit(t, s).get(site + "/numbers/found"),
		"settings": visit(t, s).get(site + "/settings"), "a loop": visit(t, s).get(site + "/settings/loop?of=1.1"), "a new loop": visit(t, s).get(site + "/settings/loop"),
		"an area": visit(t, s).get(site + "/settings/area"), "a load list": visit(t, s).get(site + "/settings/loads?of=1"), "how it is set": visit(t, s).get(site + "/settings/how?of=Larch"), "a type": visit(t, s).get(site + "/settings/type"), "people": visit(t, s).get("/people"),
		"power": visit(t, s).get(site + "/power?add=4&type=Snoddle&fault=break@IN"), "advice": visit(t, s).get(site + "/power/advice?type=Snoddle"),
		"find": visit(t, s).get(site + "/power/find"), "lead": visit(t, s).get(site + "/power/lead"), "led": visit(t, s).get(site + "/power/lead?says=open&meter=none"), "design": visit(t, s).get(site + "/power/design?chart=1&beside=mm2%3D4&" + aDesign), "battery": visit(t, s).get(site + "/battery?loads=panel=1x120/250"),
		"log": visit(t, s).get(site + "/log"), "checked": visit(t, s).get(site + "/log/verify"), "entry": visit(t, s).get(anEntry(t, s, site, sootline.ReadKind)),
		"sheet":  visit(t, s).get(anEntry(t, s, site, sootline.SheetKind)),
		"alarms": visit(t, s).get(site + "/alarms?since=2025-06-01"), "papers": visit(t, s).get(site + "/papers?point=1.2.073&check=ABCD-EFGH-IJKL-MNOP"),
		"trouble": read(t, visit(t, s).do("GET", "/nowhere", "", nil)),
	}
	for _, p := range survey.Register.Points() {
		pages["point "+p.Ref().String()] = visit(t, s).get(pointAddress(survey, p))
	}
	for name, page := range pages {
		for _, fault := range htmlFaults(page) {
			t.Errorf("%s: %s", name, fault)
		}
	}
}

func htmlFaults(page string) []string {
	faults := unbalanced(page)
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		return append(faults, err.Error())
	}
	ids := map[string]bool{}
	var named []string
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, a := range n.Attr {
			switch {
			case a.Key == "id" && ids[a.Val]:
				faults = append(faults, "id "+a.Val+" is used twice")
			case a.Key == "id":
				ids[a.Val] = true
			case a.Key == "style" || strings.HasPrefix(a.Key, "on"):
				faults = append(faults, "inline "+a.Key)
			case a.Key == "for" || a.Key == "aria-labelledby" || a.Key == "aria-describedby":
				named = append(named, strings.Fields(a.Val)...)
			}
		}
		faults = append(faults, unlabelled(n)...)
	}
	for _, id := range named {
		if !ids[id] {
			faults = append(faults, "nothing has the id "+id)
		}
	}
	return faults
}

// unlabelled finds a field without a label around it, and a script or style that
// is not a file.
func unlabelled(n *html.Node) []string {
	switch n.Data {
	case "style":
		return []string{"a style that is not a file"}
	case "script":
		if attr(n, "src") == "" {
			return []string{"a script that is not a file"}
		}
	case "input", "select", "textarea":
		if attr(n, "type") == "hidden" || attr(n, "aria-label") != "" {
			return nil
		}
		for up := n.Parent; up != nil; up = up.Parent {
			if up.Data == "label" {
				return nil
			}
		}
		return []string{fmt.Sprintf("field %s has no label", attr(n, "name"))}
	}
	return nil
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// unbalanced follows the tags; the parser itself would put things right in silence.
func unbalanced(page string) []string {
	void := []string{"meta", "link", "input", "br", "hr", "img"}
	var open, faults []string
	tokens := html.NewTokenizer(strings.NewReader(page))
	for {
		switch kind := tokens.Next(); kind {
		case html.ErrorToken:
			if len(open) > 0 {
				faults = append(faults, fmt.Sprint("never closed: ", open))
			}
			return faults
		case html.StartTagToken:
			if name, _ := tokens.TagName(); !slices.Contains(void, string(name)) {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := tokens.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				return append(faults, fmt.Sprintf("</%s> closes %v", name, open))
			}
			open = open[:len(open)-1]
		}
	}
}
