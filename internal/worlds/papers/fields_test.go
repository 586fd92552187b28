package papers

import (
	"strings"
	"testing"
)

// whole gives a paper that holds every field of the table.
func whole(fields []Field) func(string) string {
	return func(paper string) string {
		var b strings.Builder
		for _, f := range fields {
			if f.Paper == paper {
				b.WriteString("  " + strings.TrimPrefix(f.Words[0], "^") + "   something\n")
			}
		}
		return b.String()
	}
}

// A paper that holds all has nothing missing; each field that is taken out of it is found missing, and one that stands
// within another word does not count.
func TestFields(t *testing.T) {
	fields, err := AllFields()
	if err != nil {
		t.Fatal(err)
	}
	if len(fields) < 60 {
		t.Fatalf("%d fields", len(fields))
	}
	for _, f := range Fields(t, "Mill", whole(fields)) {
		if f.Marked {
			t.Errorf("%s is said to be marked", f.Name)
		}
	}
	for i, f := range fields {
		text := whole(fields)(f.Paper)
		for _, w := range f.Words {
			w = strings.ReplaceAll(strings.TrimPrefix(w, "^"), "{site}", "mill")
			text = strings.ReplaceAll(text, w, "x"+w)
		}
		if got := Look(fields[i:i+1], "Mill", func(string) string { return text }); got[0].Present {
			t.Errorf("%s of %s is found where it is not", f.Name, f.Paper)
		}
	}
	for _, f := range Look(fields, "Mill", func(string) string { return "" }) {
		if f.Present || f.Marked {
			t.Errorf("%s is found on an empty paper", f.Name)
		}
	}
}

func TestFieldsMarked(t *testing.T) {
	f := []Field{{Paper: "servicing", Words: []string{"battery results"}}}
	for text, want := range map[string]bool{
		"Battery results\n  7 Ah   by hand": true, "Battery results  7 Ah": false, "recorded. Battery results 7": false,
		"Battery results " + strings.Repeat("x", markReach) + " recorded": false,
	} {
		if got := Look(f, "Mill", func(string) string { return text })[0]; !got.Present || got.Marked != want {
			t.Errorf("%.40q: %+v", text, got)
		}
	}
}

// A word that must begin a cell is not found within one.
func TestFieldsBeginACell(t *testing.T) {
	f := []Field{{Paper: "log", Words: []string{"^person"}}}
	for text, want := range map[string]bool{
		"person   A. Tech": true, "x,person,A. Tech": true, "  Person": true, "when  person  what": true, "responsible person   R. Person": false, "impersonal": false,
	} {
		if got := Look(f, "Mill", func(string) string { return text })[0]; got.Present != want {
			t.Errorf("%q: %v", text, got.Present)
		}
	}
}

func TestFieldsTableIsHeldToItsSources(t *testing.T) {
	const head = "standard,list,field,clause,known,source,paper,words\n"
	for _, bad := range []string{"S,l,f,1,guessed,s,p,w\n", "S,l,f,1,read,,p,w\n", "S,l,f,1,read,s,,w\n", "S,l,f,1,read,s,p,\n"} {
		if _, err := readFields(head + bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}
