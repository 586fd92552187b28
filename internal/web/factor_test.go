package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/pquerna/otp/totp"

	"sootline/internal/api"
)

// withFactor gives somebody who is signed in a second factor, and what shows its code at a time.
func withFactor(t *testing.T, b *browser, at time.Time) (code func(time.Time) string) {
	t.Helper()
	secret := field(t, read(t, b.post("/account", url.Values{"do": {"factor"}})), "secret")
	code = func(at time.Time) string {
		code, err := totp.GenerateCode(secret, at)
		if err != nil {
			t.Fatal(err)
		}
		return code
	}
	if res := b.post("/account", url.Values{"do": {"factor-set"}, "secret": {secret}, "code": {code(at)}, "present": {password}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("setting it up gives %d: %s", res.StatusCode, sentenceIn(read(t, res)))
	}
	return code
}

// TestFactorGuardsTheAccount: whoever has a second factor changes how they get in by
// password and code, and no code is taken twice.
func TestFactorGuardsTheAccount(t *testing.T) {
	s, _, set := clocked(t)
	tech, k := signIn(t, s, "T. Tech"), newKeyring(t)
	if code, said := k.add(tech, "blue key"); code != http.StatusOK {
		t.Fatalf("adding a passkey gives %d: %s", code, said)
	}
	key := field(t, tech.get("/account"), "passkey")
	other := field(t, read(t, tech.post("/account", url.Values{"do": {"factor"}})), "secret")
	code, now := withFactor(t, tech, today), today
	const fresh = "eleven loud kettles"
	otherCode := func() string {
		code, err := totp.GenerateCode(other, now)
		if err != nil {
			t.Fatal(err)
		}
		return code
	}
	if res := tech.post("/account", url.Values{"do": {"factor-set"}, "secret": {other}, "code": {otherCode()}, "present": {password}}); res.StatusCode != http.StatusConflict {
		t.Errorf("putting another factor in its place gives %d", res.StatusCode)
	}
	for _, c := range []struct {
		what, address string
		form          url.Values
	}{
		{"adding a passkey", "/account/passkey/begin", url.Values{"present": {password}}},
		{"taking a passkey off", "/account", url.Values{"do": {"passkey-off"}, "passkey": {key}, "present": {password}}},
		{"another password", "/account", url.Values{"do": {"password"}, "present": {password}, "password": {fresh}, "again": {fresh}}},
		{"taking the factor away", "/account", url.Values{"do": {"factor-off"}, "present": {fresh}}},
	} {
		s.tries = newTries() // not what is tried here
		try := func(typed string) int {
			c.form.Set("code", typed)
			got, _ := k.post(tech, c.address, c.form.Encode())
			return got
		}
		if used, none := try(code(now)), try(""); used != http.StatusUnprocessableEntity || none != http.StatusUnprocessableEntity {
			t.Errorf("%s by a code that was used gives %d, by none %d", c.what, used, none)
		}
		now = now.Add(time.Minute)
		set(now)
		if got := try(code(now)); got != http.StatusOK && got != http.StatusSeeOther {
			t.Errorf("%s by password and code gives %d", c.what, got)
		}
	}
}

// TestFactorGuardsTheAPI: the API asks for the code as the page does.
func TestFactorGuardsTheAPI(t *testing.T) {
	s, _, set := clocked(t)
	tech := signIn(t, s, "T. Tech")
	code := withFactor(t, tech, today)
	now := today.Add(time.Minute)
	set(now)
	for _, c := range []struct {
		typed string
		want  int
	}{{"", http.StatusUnprocessableEntity}, {`,"code":"` + code(now) + `"`, http.StatusOK}} {
		res := tech.do(http.MethodPut, api.Root+"/account/password", `{"present":"`+password+`","password":"eleven loud kettles"`+c.typed+`}`, asJSON)
		if res.StatusCode != c.want {
			t.Fatalf("another password by %q gives %d: %s", c.typed, res.StatusCode, read(t, res))
		}
	}
}

// TestFactorEndsOtherSessions: whoever changes how they get in stays signed in here and
// nowhere else; their phones stay. Whose factor a manager takes away is signed in nowhere.
func TestFactorEndsOtherSessions(t *testing.T) {
	s, site, set := clocked(t)
	now, k := today, newKeyring(t)
	tech := signIn(t, s, "T. Tech")
	phone := pairPhone(t, s, tech, "blue phone")
	var code func(time.Time) string
	for _, c := range []struct {
		what   string
		change func()
	}{
		{"a passkey was added", func() { k.add(tech, "blue key") }},
		{"a passkey was taken off", func() {
			tech.post("/account", url.Values{"do": {"passkey-off"}, "passkey": {field(t, tech.get("/account"), "passkey")}, "present": {password}})
		}},
		{"a factor was set up", func() { code = withFactor(t, tech, now) }},
	} {
		there := signIn(t, s, "T. Tech")
		there.get(site)
		c.change()
		tech.get(site)
		phone.get("/due")
		if res := there.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
			t.Errorf("after %s another session gives %d", c.what, res.StatusCode)
		}
	}
	now = now.Add(time.Minute)
	set(now)
	if res := tech.post("/account", url.Values{"do": {"factor-off"}, "present": {password}, "code": {code(now)}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("taking it away gives %d", res.StatusCode)
	}
	there := signIn(t, s, "T. Tech")
	withFactor(t, tech, now)
	signIn(t, s, "M. Manager").post("/people/change", url.Values{"do": {"factor-off"}, "name": {"T. Tech"}})
	for _, b := range []*browser{tech, there} {
		if res := b.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
			t.Errorf("after a manager took it away a session gives %d", res.StatusCode)
		}
	}
	phone.get("/due")
}

// TestOwnWayInIsOnTheAccount: a manager, too, changes their own password and takes their
// own factor away by showing the present one, and not as for somebody else.
func TestOwnWayInIsOnTheAccount(t *testing.T) {
	s, _, _ := clocked(t)
	manager := signIn(t, s, "M. Manager")
	withFactor(t, manager, today)
	if page := manager.get("/people"); strings.Contains(page, "New password for M. Manager") || !strings.Contains(page, "New password for T. Tech") {
		t.Error("the page offers a manager another password for themselves, or none for others")
	}
	const fresh = "eleven loud kettles"
	for _, form := range []url.Values{{"do": {"password"}, "password": {fresh}, "again": {fresh}}, {"do": {"factor-off"}}} {
		form.Set("name", "m. manager")
		if res := manager.post("/people/change", form); res.StatusCode != http.StatusForbidden {
			t.Errorf("%s of their own gives %d", form.Get("do"), res.StatusCode)
		}
	}
	if res := manager.do(http.MethodPut, api.Root+"/people/M.%20Manager/password", `{"password":"`+fresh+`"}`, asJSON); res.StatusCode != http.StatusForbidden {
		t.Errorf("by the API it gives %d", res.StatusCode)
	}
}
