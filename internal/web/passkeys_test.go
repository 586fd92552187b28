package web

import (
	"crypto/ecdsa"
	"crypto/x509"
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/descope/virtualwebauthn"
	"github.com/pquerna/otp/totp"

	"sootline"
)

// keyring is a device with a passkey, at a server of that name.
type keyring struct {
	t     *testing.T
	party virtualwebauthn.RelyingParty
	auth  virtualwebauthn.Authenticator
	key   virtualwebauthn.Credential
}

func newKeyring(t *testing.T) *keyring {
	t.Helper()
	return &keyring{
		t: t, party: virtualwebauthn.RelyingParty{Name: "Sootline", ID: "book.example", Origin: "https://book.example"},
		auth: virtualwebauthn.NewAuthenticator(), key: newCredential(t),
	}
}

// newCredential makes a key that the device of the tests can tell of: it leaves out
// zeros in front of a coordinate (1 key in 128 has one), which no real device does.
func newCredential(t *testing.T) virtualwebauthn.Credential {
	t.Helper()
	for {
		made := virtualwebauthn.NewCredential(virtualwebauthn.KeyTypeEC2)
		private, err := x509.ParsePKCS8PrivateKey(made.Key.Data)
		if err != nil {
			t.Fatal(err)
		}
		point, err := private.(*ecdsa.PrivateKey).PublicKey.Bytes() // 4, then both coordinates (SEC 1, 2.3.3)
		if err != nil {
			t.Fatal(err)
		}
		if point[1] != 0 && point[33] != 0 {
			return made
		}
	}
}

// at reaches the server by its name.
func at(host string) func(*http.Request) {
	return func(r *http.Request) { r.Host = host }
}

// post sends a form or JSON to the server by its name.
func (k *keyring) post(b *browser, address, body string) (int, string) {
	k.t.Helper()
	res := b.do(http.MethodPost, address, body, at("book.example"))
	return res.StatusCode, read(k.t, res)
}

// answer wraps what the device said as the script does.
func (k *keyring) answer(challenge, name, said string) string {
	k.t.Helper()
	text, err := json.Marshal(map[string]any{"challenge": challenge, "name": name, "next": "/due", "answer": json.RawMessage(said)})
	if err != nil {
		k.t.Fatal(err)
	}
	return string(text)
}

func challengeIn(t *testing.T, options string) string {
	t.Helper()
	var asked struct{ Challenge string }
	if err := json.Unmarshal([]byte(options), &asked); err != nil || asked.Challenge == "" {
		t.Fatalf("no challenge in %s: %v", options, err)
	}
	return asked.Challenge
}

// add adds the device's passkey to the account of a browser.
func (k *keyring) add(b *browser, name string) (int, string) {
	k.t.Helper()
	code, options := k.post(b, "/account/passkey/begin", url.Values{"present": {password}}.Encode())
	if code != http.StatusOK {
		return code, options
	}
	asked, err := virtualwebauthn.ParseAttestationOptions(options)
	if err != nil {
		k.t.Fatal(err)
	}
	k.auth.Options.UserHandle = []byte(asked.UserID)
	k.key.Counter++
	code, said := k.post(b, "/account/passkey", k.answer(challengeIn(k.t, options), name, virtualwebauthn.CreateAttestationResponse(k.party, k.auth, k.key, *asked)))
	if code == http.StatusOK {
		k.auth.AddCredential(k.key)
	}
	return code, said
}

// show signs in by the device, and gives what is answered, and the answer that was sent.
func (k *keyring) show(b *browser) (code int, said, sent string) {
	k.t.Helper()
	_, options := k.post(b, "/sign-in/passkey/begin", "next=/due")
	asked, err := virtualwebauthn.ParseAssertionOptions(options)
	if err != nil {
		k.t.Fatal(err)
	}
	k.key.Counter++
	sent = k.answer(challengeIn(k.t, options), "", virtualwebauthn.CreateAssertionResponse(k.party, k.auth, k.key, *asked))
	code, said = k.post(b, "/sign-in/passkey", sent)
	return code, said, sent
}

// TestPasskey: a passkey signs in without password and code, once for each answer, and no
// more once it was taken off, or its person went.
func TestPasskey(t *testing.T) {
	s, site, set := clocked(t)
	laptop, k := signIn(t, s, "T. Tech"), newKeyring(t)
	if code, said := k.add(laptop, "blue key"); code != http.StatusOK {
		t.Fatalf("adding it gives %d: %s", code, said)
	}
	b := visit(t, s)
	code, said, sent := k.show(b)
	if code != http.StatusOK || !strings.Contains(said, `"to":"/due"`) {
		t.Fatalf("signing in gives %d: %s", code, said)
	}
	if page := b.get(site); !strings.Contains(page, "T. Tech") {
		t.Error("nobody is signed in")
	}
	if code, _ := k.post(visit(t, s), "/sign-in/passkey", sent); code != http.StatusUnprocessableEntity {
		t.Errorf("the same answer again gives %d", code)
	}
	if err := s.App.ChangeRole(t.Context(), "T. Tech", sootline.Reader); err != nil {
		t.Fatal(err)
	}
	if code, said, _ := k.show(visit(t, s)); code != http.StatusOK {
		t.Errorf("after a change of role it gives %d: %s", code, said)
	}
	laptop = visit(t, s)
	k.show(laptop)
	set(today.Add(time.Minute))
	id := field(t, laptop.get("/account"), "passkey")
	if res := laptop.post("/account", url.Values{"do": {"passkey-off"}, "passkey": {id}, "present": {"wrong"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("taking it off by a wrong password gives %d", res.StatusCode)
	}
	if res := laptop.post("/account", url.Values{"do": {"passkey-off"}, "passkey": {id}, "present": {password}}); res.StatusCode != http.StatusSeeOther {
		t.Errorf("taking it off gives %d", res.StatusCode)
	}
	if code, _, _ := k.show(visit(t, s)); code != http.StatusUnprocessableEntity {
		t.Errorf("a passkey that was taken off gives %d", code)
	}
	page := signIn(t, s, "M. Manager").get("/people/journal")
	if !strings.Contains(page, "passkey added") || !strings.Contains(page, "passkey taken off") {
		t.Error("the journal does not say so")
	}
}

// TestPasskeyCountsAsBoth: where codes are asked for, a passkey stands for password and code.
func TestPasskeyCountsAsBoth(t *testing.T) {
	s, _, _ := clocked(t)
	laptop, k := signIn(t, s, "T. Tech"), newKeyring(t)
	if code, said := k.add(laptop, "blue key"); code != http.StatusOK {
		t.Fatal(code, said)
	}
	a := *s.App
	a.Who = sootline.Actor{Name: "T. Tech", Role: sootline.Technician}
	secret, _, err := a.NewFactor()
	if err != nil {
		t.Fatal(err)
	}
	code, err := totp.GenerateCode(secret, today)
	if err != nil {
		t.Fatal(err)
	}
	if err := a.SetFactor(t.Context(), secret, code, password); err != nil {
		t.Fatal(err)
	}
	if code, said, _ := k.show(visit(t, s)); code != http.StatusOK {
		t.Errorf("it gives %d: %s", code, said)
	}
	if err := s.App.DropFactor(t.Context(), "T. Tech"); err != nil {
		t.Fatal(err)
	}
	if code, _, _ := k.show(visit(t, s)); code != http.StatusUnprocessableEntity {
		t.Errorf("after a manager took it away, the passkey gives %d", code)
	}
}

// TestPasskeysRefused: nothing signs in that the right device did not say, at the right
// server, after it looked who holds it.
func TestPasskeysRefused(t *testing.T) {
	s, _, set := clocked(t)
	laptop, k := signIn(t, s, "T. Tech"), newKeyring(t)
	if code, said := k.add(laptop, "blue key"); code != http.StatusOK {
		t.Fatal(code, said)
	}
	for what, change := range map[string]func(*keyring){
		"another key":      func(k *keyring) { k.key = newCredential(t) },
		"another origin":   func(k *keyring) { k.party.Origin = "https://bock.example" },
		"another server":   func(k *keyring) { k.party.ID = "bock.example" },
		"nobody looked":    func(k *keyring) { k.auth.Options.UserNotVerified = true },
		"another's handle": func(k *keyring) { k.auth.Options.UserHandle = []byte("somebody else") },
		"a copy that lags": func(k *keyring) { k.key.Counter = 0 },
	} {
		if code, said, _ := k.show(visit(t, s)); code != http.StatusOK {
			t.Fatal(code, said)
		}
		other := *k
		change(&other)
		if code, said, _ := other.show(visit(t, s)); code != http.StatusUnprocessableEntity {
			t.Errorf("%s gives %d: %s", what, code, said)
		}
	}
	if res := visit(t, s).do(http.MethodPost, "/sign-in/passkey/begin", "next=/", nil); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a server without a name gives %d", res.StatusCode) // it is reached by 127.0.0.1 here
	}
	if code, _ := k.post(laptop, "/account/passkey/begin", "present=wrong"); code != http.StatusUnprocessableEntity {
		t.Errorf("beginning with a wrong password gives %d", code)
	}
	_, options := k.post(laptop, "/sign-in/passkey/begin", "next=/")
	asked, err := virtualwebauthn.ParseAssertionOptions(options)
	if err != nil {
		t.Fatal(err)
	}
	k.key.Counter += 5
	late := k.answer(challengeIn(t, options), "", virtualwebauthn.CreateAssertionResponse(k.party, k.auth, k.key, *asked))
	set(today.Add(passkeyTime))
	if code, _ := k.post(visit(t, s), "/sign-in/passkey", late); code != http.StatusUnprocessableEntity {
		t.Errorf("an answer after five minutes gives %d", code)
	}
}
