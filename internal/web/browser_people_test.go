package web

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
)

// TestPeopleInBrowser signs in and looks at the pages of people and of one's own account.
func TestPeopleInBrowser(t *testing.T) {
	s := newServer(t, nil)
	for name, role := range map[string]sootline.Role{"M. Manager": sootline.Manager, "T. Tech": sootline.Technician} {
		if err := s.App.AddPerson(context.Background(), name, role, password); err != nil {
			t.Fatal(err)
		}
	}
	site, err := s.App.AddSite(context.Background(), app.NewSite{Name: "Quiet Mill"})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.App.AddPersonFor(context.Background(), "C. Client", sootline.Customer, app.Scope{Bound: true, Sites: []sootline.ID{site}, Customers: []string{"Larch & Sons"}}, password); err != nil {
		t.Fatal(err)
	}
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address+"/sign-in?next=/account"),
		chromedp.SendKeys(`input[name="name"]`, "M. Manager"), chromedp.SendKeys(`input[name="password"]`, password),
		chromedp.Click(`form[action="/sign-in"] button`), chromedp.WaitVisible("#where"))
	look(t, ctx, "account")
	do(t, ctx, chromedp.Click(`button[value="factor"]`), chromedp.WaitVisible(`input[name="code"]`))
	look(t, ctx, "account-factor")
	do(t, ctx, chromedp.Navigate(address+"/people"), chromedp.Click("main summary"), chromedp.WaitVisible(`button[value="remove"]`))
	look(t, ctx, "people")
	do(t, ctx, chromedp.SendKeys(`form[action="/people/token"] input[name="name"]`, "night report"), chromedp.Click(`form[action="/people/token"] button.main`), chromedp.WaitVisible(`.notice .print`))
	look(t, ctx, "people-token")
	do(t, ctx, chromedp.SendKeys(`form[action="/people/invite"] input[name="name"]`, "I. Invited"), chromedp.Click(`form[action="/people/invite"] button.main`), chromedp.WaitVisible(`//*[contains(@class, "notice") and contains(., "I. Invited")]`))
	look(t, ctx, "people-invited") // the notice of the token would be visible before the page is another
	key, err := s.App.InvitePerson(context.Background(), "N. New", sootline.Customer, app.Scope{Bound: true, Sites: []sootline.ID{site}})
	if err != nil {
		t.Fatal(err)
	}
	do(t, ctx, chromedp.Navigate(address+"/welcome/"+key), chromedp.WaitVisible(`input[name="again"]`))
	look(t, ctx, "welcome")
	do(t, ctx, chromedp.Navigate(address+"/people/journal"), chromedp.WaitVisible("table"))
	look(t, ctx, "journal")
}

// TestPasskeyInBrowser adds a passkey by a device of the browser's own making, signs out,
// and signs in by it.
func TestPasskeyInBrowser(t *testing.T) {
	s := newServer(t, nil)
	if err := s.App.AddPerson(context.Background(), "M. Manager", sootline.Manager, password); err != nil {
		t.Fatal(err)
	}
	ctx, address := openBrowser(t, s)
	address = strings.Replace(address, "127.0.0.1", "localhost", 1) // a passkey is for a name
	if _, err := chromedp.Call(ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	device := &webauthn.VirtualAuthenticatorOptions{
		Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
		HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
	}
	if _, err := chromedp.Call(ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: device}); err != nil {
		t.Fatal(err)
	}
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address+"/sign-in?next=/account"))
	look(t, ctx, "sign-in-passkey")
	do(t, ctx, chromedp.SendKeys(`input[name="name"]`, "M. Manager"), chromedp.SendKeys(`input[name="password"]`, password),
		chromedp.Click(`form[action="/sign-in"] button.main`), chromedp.WaitVisible(`form[data-passkey] input[name="present"]`),
		chromedp.SendKeys(`form[data-passkey] input[name="name"]`, "blue key"), chromedp.SendKeys(`form[data-passkey] input[name="present"]`, "not the password"),
		chromedp.Click(`form[data-passkey] button`), chromedp.WaitVisible(`form[data-passkey] .trouble`),
		chromedp.SetValue(`form[data-passkey] input[name="present"]`, password),
		chromedp.Click(`form[data-passkey] button`), chromedp.WaitVisible(`button[value="passkey-off"]`))
	look(t, ctx, "account-passkey")
	do(t, ctx, chromedp.Click(`form[action="/sign-out"] button`), chromedp.WaitVisible(`form[action="/sign-in"] input[name="password"]`))
	do(t, ctx, chromedp.Navigate(address+"/sign-in?next=/account"), chromedp.WaitVisible(`form[data-passkey] button`))
	do(t, ctx, chromedp.Click(`form[data-passkey] button`))
	do(t, ctx, chromedp.WaitVisible(`button[value="passkey-off"]`))
}
