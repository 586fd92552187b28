package web

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// Two servers on one book show at once what the other took, though each keeps sites folded
// and logs decoded.
func TestTwoServers(t *testing.T) {
	first, address := withDemo(t, func(c *Config) { c.App.Logs = app.NewLogs(app.MostLogs) })
	second := newServer(t, func(c *Config) {
		book, err := store.Open(context.Background(), first.App.Book.Path(), false, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := book.Close(); err != nil {
				t.Error(err)
			}
		})
		own := *c.App
		own.Book, own.Logs, own.Who.Station = book, app.NewLogs(app.MostLogs), "desk"
		c.App = &own
	})
	site, err := sootline.ParseID(strings.TrimPrefix(address, "/site/"))
	if err != nil {
		t.Fatal(err)
	}
	servers := []*Server{first, second}
	for n := range 4 {
		text := fmt.Sprintf("heard of %d", n)
		for _, s := range servers { // both keep the site as it was
			visit(t, s).get(address)
			if strings.Contains(visit(t, s).get(address+"/log"), text) {
				t.Fatal("it is there before it was said")
			}
		}
		writer := servers[n%2].App
		if _, err := writer.AddEntry(t.Context(), site, app.Note{Body: sootline.Note{Text: text}}); err != nil {
			t.Fatal(err)
		}
		for i, s := range servers {
			if !strings.Contains(visit(t, s).get(address+"/log"), text) {
				t.Errorf("server %d does not show %q", i, text)
			}
		}
	}
}
