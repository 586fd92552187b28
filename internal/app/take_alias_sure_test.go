package app

import (
	"context"
	"testing"

	"sootline"
)

// TestDoubtfulAliases: a type with a sheet of its own is no spelling of another, and one that nothing has is not meant, unless
// somebody is certain.
func TestDoubtfulAliases(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"types.csv": "name,kind,low,high\nLarch,smoke,20,44\nElder,smoke,15,35\n"})
	take(t, a, site, folder+"/types.csv")
	for _, c := range []struct {
		said, means string
		code        sootline.Code
	}{{"Larch", "Elder", sootline.Doubtful}, {"LARCH", "Elder", sootline.Doubtful}, {"Larhc", "Nonsense", sootline.Doubtful}, {"Larhc", "Larch", ""}, {"Larch", "Larch", ""}} {
		body := sootline.Alias{Of: sootline.AliasType, Said: c.said, Means: c.means}
		if _, err := a.AddEntry(context.Background(), site, Note{Body: body}); sootline.ErrorCode(err) != c.code {
			t.Errorf("%s means %s, by hand: %v", c.said, c.means, err)
		}
		if _, err := a.SayAlias(context.Background(), site, body, false); sootline.ErrorCode(err) != c.code {
			t.Errorf("%s means %s: %v", c.said, c.means, err)
		}
		if _, err := a.SayAlias(context.Background(), site, body, true); err != nil && c.code != "" {
			t.Errorf("%s means %s, certain: %v", c.said, c.means, err)
		}
	}
}
