package web

import (
	"context"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
)

// TestPeopleInBrowser signs in and looks at the pages of people and of one's own account.
func TestPeopleInBrowser(t *testing.T) {
	s := newServer(t, nil)
	for name, role := range map[string]sootline.Role{"M. Manager": sootline.Manager, "T. Tech": sootline.Technician} {
		if err := s.App.AddPerson(context.Background(), name, role, password); err != nil {
			t.Fatal(err)
		}
	}
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address+"/sign-in?next=/account"),
		chromedp.SendKeys(`input[name="name"]`, "M. Manager"), chromedp.SendKeys(`input[name="password"]`, password),
		chromedp.Click(`form[action="/sign-in"] button`), chromedp.WaitVisible("#where"))
	look(t, ctx, "account")
	do(t, ctx, chromedp.Click(`button[value="factor"]`), chromedp.WaitVisible(`input[name="code"]`))
	look(t, ctx, "account-factor")
	do(t, ctx, chromedp.Navigate(address+"/people"), chromedp.Click("summary"), chromedp.WaitVisible(`button[value="remove"]`))
	look(t, ctx, "people")
	do(t, ctx, chromedp.Navigate(address+"/people/journal"), chromedp.WaitVisible("table"))
	look(t, ctx, "journal")
}
