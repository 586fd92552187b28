package web

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"sync"
	"time"

	"github.com/piglig/go-qr"

	"sootline"
	"sootline/internal/app"
)

// Trust is what a phone needs to trust this server's own certificate.
type Trust struct {
	Authority   []byte   // the certificate of the authority, DER; nil: a public one vouches
	Fingerprint string   // its SHA-256, for people to compare
	Addresses   []string // where phones reach this server, https://192.168.1.20:8344
	Plain       []string // where they get the authority's certificate before they trust it
}

// pairings are the offers to phones that still stand, by the code that a phone
// gets from the picture on the screen.
type pairings struct {
	mu     sync.Mutex
	offers map[string]offer
}

type offer struct {
	to    app.Invitation
	until time.Time
}

const (
	pairingTime  = 10 * time.Minute
	mostPairings = 100
)

// make offers a phone to write in the name of who invites it.
func (p *pairings) make(to app.Invitation, now time.Time) (code string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.offers == nil || len(p.offers) >= mostPairings {
		p.offers = map[string]offer{}
	}
	code = rand.Text()
	p.offers[code] = offer{to, now.Add(pairingTime)}
	return code
}

// take uses an offer up.
func (p *pairings) take(code string, now time.Time) (to app.Invitation, ok bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	o, ok := p.offers[code]
	delete(p.offers, code)
	return o.to, ok && now.Before(o.until)
}

// phonesPage lists the phones and shows how another is made one.
type phonesPage struct {
	Frame
	Phones      []phoneLine
	Reached     bool // phones can reach this server
	Trust       Trust
	TrustLinks  []qrLink
	Pairing     []qrLink
	Minutes     int
	Installable bool
}

type phoneLine struct {
	Name, Station, Person, Since, Purpose string
	Site                                  string // the one that a calendar address opens; empty: all
}

// phoneLine tells of a phone or a calendar address.
func (s *Server) phoneLine(r *http.Request, p *app.Phone) (phoneLine, error) {
	line := phoneLine{Name: p.Name, Station: p.Station, Person: p.Person, Since: day(p.Added, s.Zone), Purpose: string(p.Purpose)}
	if !p.Site.Zero() {
		line.Site = "a site that is not yours"
		site, err := s.as(r).SiteOf(r.Context(), p.Site)
		if err != nil {
			return line, err
		}
		if site != nil {
			line.Site = site.Name
		}
	}
	return line, nil
}

// qrLink is an address and the picture of it.
type qrLink struct {
	Address string
	Picture template.HTML
}

func (s *Server) showPhones(w http.ResponseWriter, r *http.Request) error {
	page, err := s.phonesPage(r)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "visit_phones.html", page)
}

func (s *Server) phonesPage(r *http.Request) (*phonesPage, error) {
	phones, err := s.as(r).Phones(r.Context())
	if err != nil {
		return nil, err
	}
	page := &phonesPage{Frame: Frame{Title: "Phones"}, Reached: !s.Loopback, Trust: s.Trust, Minutes: int(pairingTime.Minutes())}
	for i := range phones {
		line, err := s.phoneLine(r, &phones[i])
		if err != nil {
			return nil, err
		}
		page.Phones = append(page.Phones, line)
	}
	page.TrustLinks, err = qrLinks(s.Trust.Plain, "")
	return page, err
}

func qrLinks(addresses []string, path string) ([]qrLink, error) {
	var links []qrLink
	for _, address := range addresses {
		picture, err := qrPicture(address + path)
		if err != nil {
			return nil, err
		}
		links = append(links, qrLink{address + path, picture})
	}
	return links, nil
}

// qrPicture draws an address as a QR code: dark squares on white whatever the
// look of the page, with the quiet zone of four modules that ISO/IEC 18004 asks
// for (from memory).
func qrPicture(text string) (template.HTML, error) {
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		return "", err
	}
	const quiet = 4
	size := code.Size() + 2*quiet
	svg := []byte(fmt.Sprintf(`<svg class="qr" viewBox="0 0 %d %d" role="img" aria-label="QR code of the address" shape-rendering="crispEdges"><rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="`, size, size, size, size))
	for y := range code.Size() {
		for x := range code.Size() {
			if code.Module(x, y) {
				svg = append(svg, fmt.Sprintf("M%d %dh1v1h-1z", x+quiet, y+quiet)...)
			}
		}
	}
	return template.HTML(append(svg, `"/></svg>`...)), nil // numbers only: nothing typed by anybody comes in
}

// offerPairing shows the code by which one phone becomes a station.
func (s *Server) offerPairing(w http.ResponseWriter, r *http.Request) error {
	invitation, err := s.as(r).InvitePhone(r.Context())
	if err != nil {
		return err
	}
	page, err := s.phonesPage(r)
	if err != nil {
		return err
	}
	addresses := s.Trust.Addresses
	if len(addresses) == 0 {
		addresses = []string{s.origin(r)}
	}
	code := s.pairings.make(invitation, s.App.Now())
	if page.Pairing, err = qrLinks(addresses, "/pair?code="+url.QueryEscape(code)); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "visit_phones.html", page)
}

func (s *Server) dropPhone(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	if err := s.as(r).DropPhone(r.Context(), r.PostForm.Get("station")); err != nil {
		return err
	}
	http.Redirect(w, r, "/phones", http.StatusSeeOther)
	return nil
}

// pairPage is what the phone shows that came by the QR code.
type pairPage struct {
	Frame
	Code, Name, Trouble string
	WayOut              []wayLine
}

func (s *Server) showPair(w http.ResponseWriter, r *http.Request) error {
	return s.show(w, r, http.StatusOK, "visit_pair.html", &pairPage{Frame: Frame{Title: "This phone"}, Code: r.URL.Query().Get("code")})
}

// pair makes the phone that asks a station, and gives it its key.
func (s *Server) pair(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page := &pairPage{Frame: Frame{Title: "This phone"}, Code: r.PostForm.Get("code"), Name: r.PostForm.Get("name")}
	invitation, ok := s.pairings.take(page.Code, s.App.Now())
	var err error
	if !ok {
		err = sootline.Errorf(sootline.Invalid, "show a new one on the page Phones of the other machine", "this code was used, or is too old")
	}
	var key string
	if err == nil {
		a := *s.App
		a.Who = sootline.Actor{Name: invitation.Person, From: s.address(r)}
		key, _, err = a.AcceptPhone(r.Context(), invitation, page.Name)
	}
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return err
		}
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
		return s.show(w, r, status(err), "visit_pair.html", page)
	}
	http.SetCookie(w, &http.Cookie{
		Name: s.phoneCookie(), Value: key, Path: "/", MaxAge: int((400 * 24 * time.Hour).Seconds()), // the longest that browsers keep one
		HttpOnly: true, Secure: s.TLS, SameSite: http.SameSiteLaxMode,
	})
	http.Redirect(w, r, "/due", http.StatusSeeOther)
	return nil
}

// phoneCookie is the name of the cookie that holds a phone's key.
func (s *Server) phoneCookie() string { return s.cookieName("phone") }

// giveTrust gives the certificate of this server's own authority.
func (s *Server) giveTrust(w http.ResponseWriter, r *http.Request) error {
	if s.Trust.Authority == nil {
		return sootline.Errorf(sootline.NotFound, "", "this server has no authority of its own")
	}
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	w.Header().Set("Content-Disposition", `attachment; filename="sootline-authority.crt"`)
	_, err := w.Write(s.Trust.Authority)
	return s.wentAway(r, err)
}

func versionOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:6])
}
