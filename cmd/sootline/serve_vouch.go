package main

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/piglig/go-qr"
	"golang.org/x/crypto/acme/autocert"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/web"
)

// vouched is how the server shows who it is: nil config is plain HTTP, for this
// machine only.
type vouched struct {
	config *tls.Config
	trust  web.Trust
	stop   func()
}

// vouch gets the server's certificate from where the flags say.
func (s *session) vouch(ctx context.Context, a *app.App, flags serveFlags, at net.Addr) (vouched, error) {
	v := vouched{stop: func() {}}
	switch {
	case flags.lan:
		return s.vouchOnLAN(ctx, a, at)
	case flags.domain != "":
		beside, err := besideBook(a)
		if err != nil {
			return v, err
		}
		v.config = acmeFor(flags.domain, beside+".acme").TLSConfig()
		v.config.MinVersion = tls.VersionTLS12
		v.trust.Addresses = []string{"https://" + strings.TrimSuffix(net.JoinHostPort(flags.domain, portOf(at)), ":443")}
	case flags.cert != "":
		pair, err := tls.LoadX509KeyPair(flags.cert, flags.key)
		if err != nil {
			return v, sootline.Errorf(sootline.Invalid, "look at the certificate and its key", "%w", err)
		}
		v.config = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	}
	return v, nil
}

// acmeFor gets certificates for one public name, by a connection to port 443
// (RFC 8737), and keeps them beside the book.
func acmeFor(domain, folder string) *autocert.Manager {
	return &autocert.Manager{Prompt: autocert.AcceptTOS, HostPolicy: autocert.HostWhitelist(domain), Cache: autocert.DirCache(folder)}
}

func portOf(at net.Addr) string {
	_, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return ""
	}
	return port
}

// vouchOnLAN lets this machine's own authority vouch for it, and tells phones about
// the authority on the next port, where nothing needs to be trusted yet.
func (s *session) vouchOnLAN(ctx context.Context, a *app.App, at net.Addr) (vouched, error) {
	hosts, err := lanHosts()
	if err != nil {
		return vouched{}, err
	}
	beside, err := besideBook(a)
	if err != nil {
		return vouched{}, err
	}
	authority, err := openAuthority(beside+".authority", hosts, time.Now)
	if err != nil {
		return vouched{}, err
	}
	sum := sha256.Sum256(authority.cert.Raw)
	v := vouched{
		config: &tls.Config{GetCertificate: authority.server(hosts, time.Now), MinVersion: tls.VersionTLS12},
		trust:  web.Trust{Authority: authority.cert.Raw, Fingerprint: grouped(sum[:])},
	}
	for _, ip := range hosts.ips {
		v.trust.Addresses = append(v.trust.Addresses, "https://"+net.JoinHostPort(ip.String(), portOf(at)))
	}
	v.stop, err = s.tellTrust(ctx, at, hosts, &v.trust)
	return v, err
}

// tellTrust answers on the port above the server's with nothing but the authority's
// certificate and what to do with it.
func (s *session) tellTrust(ctx context.Context, at net.Addr, hosts lanNames, trust *web.Trust) (stop func(), err error) {
	host, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return nil, err
	}
	number, err := strconv.Atoi(port)
	if err != nil {
		return nil, err
	}
	next := net.JoinHostPort(host, strconv.Itoa(number+1))
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", next)
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "choose another with --listen 0.0.0.0:PORT; the port after it must be free too", "cannot listen on %s: %w", next, err)
	}
	for _, ip := range hosts.ips {
		trust.Plain = append(trust.Plain, "http://"+net.JoinHostPort(ip.String(), strconv.Itoa(number+1)))
	}
	handler, err := web.TrustPages(*trust)
	if err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: headTimeout, ReadTimeout: headTimeout, WriteTimeout: bodyTimeout, MaxHeaderBytes: mostHead}
	go func() {
		var err error
		defer func() {
			if !errors.Is(err, http.ErrServerClosed) {
				fmt.Fprintf(s.err, "the page for phones at %s has ended: %v\n", listener.Addr(), err) //nolint:errcheck // as every line of the log
			}
		}()
		defer sootline.Caught(&err)
		err = server.Serve(listener)
	}()
	return func() { server.Close() }, nil //nolint:errcheck // nothing is under way that matters
}

// printTrust says what a phone needs, with the address as a QR code.
func (s *session) printTrust(trust web.Trust) error {
	if trust.Authority == nil {
		return nil
	}
	if len(trust.Plain) == 0 {
		_, err := fmt.Fprintln(s.out, "This machine is on no private network: no phone can reach it.")
		return err
	}
	code, err := go_qr.EncodeText(trust.Plain[0], go_qr.Medium)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "\nPhones: look at this with the camera, once, so that the phone trusts this server.\n\n%s\n", drawQR(code))
	for i, plain := range trust.Plain {
		fmt.Fprintf(s.out, "  first  %s    then  %s\n", plain, trust.Addresses[i])
	}
	_, err = fmt.Fprintf(s.out, "\nCompare the fingerprint (SHA-256) that the phone shows:\n%s\n", trust.Fingerprint)
	return err
}

// drawQR draws a code with half blocks, light on dark as most terminals are, with
// the quiet zone of four modules.
func drawQR(code *go_qr.QrCode) string {
	const quiet = 4
	light := func(x, y int) bool {
		return x < 0 || y < 0 || x >= code.Size() || y >= code.Size() || !code.Module(x, y)
	}
	var b strings.Builder
	for y := -quiet; y < code.Size()+quiet; y += 2 {
		b.WriteString("  ")
		for x := -quiet; x < code.Size()+quiet; x++ {
			below := y+1 < code.Size()+quiet && light(x, y+1)
			switch {
			case light(x, y) && below:
				b.WriteString("█")
			case light(x, y):
				b.WriteString("▀")
			case below:
				b.WriteString("▄")
			default:
				b.WriteString(" ")
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

// grouped writes a fingerprint in groups that people can compare.
func grouped(sum []byte) string {
	var groups []string
	for i := 0; i < len(sum); i += 2 {
		groups = append(groups, fmt.Sprintf("%02X%02X", sum[i], sum[i+1]))
	}
	return strings.Join(groups, " ")
}
