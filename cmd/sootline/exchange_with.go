package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/exchange"
)

// withFlags say which server is asked, and as who.
type withFlags struct {
	server, as, code, token, authority string
}

func (f *withFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.server, "with", "", "a server that keeps the other book, https://...")
	cmd.Flags().StringVar(&f.as, "as", "", "sign in there by this name; the password is asked for, or is the first line of the input")
	cmd.Flags().StringVar(&f.code, "code", "", "the code of the second factor, where there is one")
	cmd.Flags().StringVar(&f.token, "token", "", "or a file with a token of that server; by a token lines come, and none go that people wrote")
	cmd.Flags().StringVar(&f.authority, "authority", "", "a file with the certificate that vouches for the server, where this machine does not know it")
}

// other is the server that keeps the other book.
type other struct {
	root   *url.URL
	client *http.Client
	token  string
}

const (
	exchangeWait = 5 * time.Minute // for one answer: a large site over a slow line
	mostTries    = 5               // of one parcel, when the line breaks
	mostAnswer   = 64 << 20
)

// exchangeWith brings this book and that of a server to hold the same.
func (s *session) exchangeWith(ctx context.Context, a *app.App, flags *withFlags, sites []string) error {
	server, err := s.signedIn(ctx, flags)
	if err != nil {
		return err
	}
	in := &brought{}
	var lines, photos int // that went
	var refused error
	for {
		offer, err := a.Offer(ctx, sites...)
		if err != nil {
			return err
		}
		answer, err := s.round(ctx, a, server, offer, in)
		if err != nil {
			s.tellBrought(in)
			return err
		}
		var lacking []exchange.Parcel
		if refused == nil {
			if lacking, err = a.Lacking(ctx, answer, app.MostParcel); err != nil {
				return err
			}
		}
		for i := range lacking {
			if _, err := s.round(ctx, a, server, &lacking[i], in); err != nil {
				if sootline.ErrorCode(err) != sootline.Forbidden {
					s.tellBrought(in)
					return err
				}
				refused = err
				break
			}
			l, p := linesOf(lacking[i : i+1])
			lines, photos = lines+l, photos+p
		}
		if l, p := linesOf([]exchange.Parcel{*answer}); l+p == 0 && (len(lacking) == 0 || refused != nil) {
			break
		}
	}
	s.tellBrought(in)
	if refused != nil {
		return refused
	}
	fmt.Fprintf(s.out, "%s went to %s. Both books hold the same of the sites that were exchanged.\n", linesAndPhotos(lines, photos), server.root.Host)
	return nil
}

// round hands a parcel over, and takes in what comes back.
func (s *session) round(ctx context.Context, a *app.App, server *other, p *exchange.Parcel, in *brought) (*exchange.Parcel, error) {
	packed, err := p.Pack()
	if err != nil {
		return nil, err
	}
	answer, err := server.hand(ctx, packed)
	if err != nil {
		return nil, err
	}
	taken, err := a.TakeParcel(ctx, answer)
	in.add(taken)
	return answer, err
}

// hand posts a parcel, again where the line breaks: handing it in twice changes nothing.
func (o *other) hand(ctx context.Context, packed []byte) (answer *exchange.Parcel, err error) {
	for try := range mostTries {
		if try > 0 {
			select {
			case <-ctx.Done():
				return nil, ctx.Err()
			case <-time.After(time.Duration(try) * time.Second):
			}
		}
		var body []byte
		if body, err = o.post(ctx, "/api/v1/exchange", "application/octet-stream", packed); err == nil {
			if answer, err = exchange.Unpack(body); err == nil {
				return answer, nil
			}
		}
		if code := sootline.ErrorCode(err); code != sootline.Unavailable && code != sootline.Damaged {
			return nil, err
		}
	}
	return nil, err
}

// post asks the server, and gives its answer; what it refuses is an error in its words.
func (o *other) post(ctx context.Context, path, kind string, content []byte) ([]byte, error) {
	ask, err := http.NewRequestWithContext(ctx, http.MethodPost, o.root.JoinPath(path).String(), bytes.NewReader(content))
	if err != nil {
		return nil, err
	}
	ask.Header.Set("Content-Type", kind)
	if o.token != "" {
		ask.Header.Set("Authorization", "Bearer "+o.token)
	}
	res, err := o.client.Do(ask)
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "do it again: what was exchanged stays, and the rest goes on", "%s does not answer: %w", o.root.Host, err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(io.LimitReader(res.Body, mostAnswer+1))
	switch {
	case err != nil:
		return nil, sootline.Errorf(sootline.Unavailable, "do it again: what was exchanged stays, and the rest goes on", "the answer of %s was cut: %w", o.root.Host, err)
	case len(body) > mostAnswer:
		return nil, sootline.Errorf(sootline.Invalid, "", "the answer of %s is larger than %d MB", o.root.Host, mostAnswer>>20)
	case res.StatusCode >= http.StatusBadRequest:
		return nil, o.refusal(res.StatusCode, body)
	}
	return body, nil
}

// refusal makes an error of what the server said.
func (o *other) refusal(status int, body []byte) error {
	var said struct{ Detail string }
	if err := json.Unmarshal(body, &said); err != nil || said.Detail == "" {
		said.Detail = http.StatusText(status)
	}
	code := sootline.Conflict
	switch status {
	case http.StatusUnauthorized:
		return sootline.Errorf(sootline.Forbidden, "name who you are there with --as, or give a token", "%s does not know who asks", o.root.Host)
	case http.StatusForbidden:
		code = sootline.Forbidden
	case http.StatusNotFound:
		code = sootline.NotFound
	case http.StatusBadGateway, http.StatusServiceUnavailable, http.StatusGatewayTimeout:
		code = sootline.Unavailable
	}
	return sootline.Errorf(code, "", "%s says: %s", o.root.Host, strings.TrimSuffix(strings.TrimSpace(said.Detail), "."))
}

// signedIn reaches the server as who the flags say.
func (s *session) signedIn(ctx context.Context, flags *withFlags) (*other, error) {
	root, err := url.Parse(flags.server)
	if err != nil || root.Host == "" || root.Scheme != "https" && !loopbackHTTP(root) {
		return nil, usageError{fmt.Errorf("--with %q is no address that begins with https://", flags.server)}
	}
	if flags.as != "" && flags.token != "" {
		return nil, usageError{errors.New("give --as or --token, not both")}
	}
	o := &other{root: root}
	if o.client, err = clientTrusting(flags.authority); err != nil {
		return nil, err
	}
	if flags.token != "" {
		secret, err := os.ReadFile(flags.token)
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "name the file with --token", "cannot read the token: %w", err)
		}
		o.token = strings.TrimSpace(string(secret))
	}
	if flags.as == "" {
		return o, nil
	}
	password, err := s.knownPassword()
	if err != nil {
		return nil, err
	}
	form := url.Values{"name": {flags.as}, "password": {password}, "code": {flags.code}}
	if _, err := o.post(ctx, "/sign-in", "application/x-www-form-urlencoded", []byte(form.Encode())); err != nil {
		if sootline.ErrorCode(err) == sootline.Unavailable {
			return nil, err
		}
		return nil, sootline.Errorf(sootline.Forbidden, "", "%s does not let %s in: name, password or code are not right, or were tried too often", root.Host, flags.as)
	}
	return o, nil
}

// loopbackHTTP allows a server on this very machine, as `sootline serve` is without a
// certificate.
func loopbackHTTP(root *url.URL) bool {
	host := root.Hostname()
	return root.Scheme == "http" && (host == "localhost" || host == "127.0.0.1" || host == "::1")
}

// clientTrusting makes a client that follows no redirection and trusts what this machine
// trusts, and a certificate more.
func clientTrusting(authority string) (*http.Client, error) {
	pool, err := x509.SystemCertPool()
	if err != nil {
		pool = x509.NewCertPool()
	}
	if authority != "" {
		text, err := os.ReadFile(authority)
		if err != nil || !pool.AppendCertsFromPEM(text) {
			return nil, sootline.Errorf(sootline.Invalid, "name a certificate as PEM with --authority", "%s is no certificate", authority)
		}
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		return nil, err
	}
	return &http.Client{
		Timeout: exchangeWait, Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{Proxy: http.ProxyFromEnvironment, TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}},
	}, nil
}
