package main

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net"
	"net/http"
	"net/mail"
	"net/smtp"
	"net/url"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
)

// noticeFlags say who is told of alarms and faults that are heard.
type noticeFlags struct {
	webhook, secret  string
	server, from, to string
	pause            time.Duration
}

func (f *noticeFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.webhook, "notice-webhook", "", "an address to which alarms and faults are posted as they are heard, https://...")
	cmd.Flags().StringVar(&f.secret, "notice-secret", "", "a file with the secret by which these are signed (HMAC-SHA256 in X-Signature-256)")
	cmd.Flags().StringVar(&f.server, "notice-mail-server", "", "host and port of a mail server that takes notices without a password")
	cmd.Flags().StringVar(&f.from, "notice-mail-from", "", "from whom such a mail is")
	cmd.Flags().StringVar(&f.to, "notice-mail-to", "", "to whom it goes")
	cmd.Flags().DurationVar(&f.pause, "notice-pause", 10*time.Minute, "between two notices of a site; what comes in between is told together")
	cmd.MarkFlagsRequiredTogether("notice-mail-server", "notice-mail-from", "notice-mail-to")
}

// notices gives what the flags name; nil: nobody asked to be told.
func (f *noticeFlags) notices(say func(string)) (*app.Notices, error) {
	var ways []func(context.Context, app.Notice) error
	if f.webhook != "" {
		way, err := f.hook()
		if err != nil {
			return nil, err
		}
		ways = append(ways, way)
	}
	if f.server != "" {
		way, err := f.mail()
		if err != nil {
			return nil, err
		}
		ways = append(ways, way)
	}
	if len(ways) == 0 {
		return nil, nil
	}
	if f.pause < time.Second {
		return nil, usageError{errors.New("--notice-pause is a second at least")}
	}
	send := func(ctx context.Context, n app.Notice) (err error) {
		for _, way := range ways {
			err = errors.Join(err, way(ctx, n))
		}
		return err
	}
	return &app.Notices{Send: send, Say: say, Pause: f.pause, Now: now}, nil
}

// noticeWait is how long one notice may take.
const noticeWait = 20 * time.Second

// hook posts notices as JSON.
func (f *noticeFlags) hook() (func(context.Context, app.Notice) error, error) {
	address, err := url.Parse(f.webhook)
	if err != nil || address.Host == "" || address.Scheme != "https" && address.Scheme != "http" {
		return nil, usageError{fmt.Errorf("--notice-webhook %q is no address", f.webhook)}
	}
	var key []byte
	if f.secret != "" {
		text, err := os.ReadFile(f.secret)
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "name the file with --notice-secret", "cannot read the secret: %w", err)
		}
		key = bytes.TrimSpace(text)
	}
	client := &http.Client{Timeout: noticeWait, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	return func(ctx context.Context, n app.Notice) error {
		body, err := json.Marshal(n)
		if err != nil {
			return err
		}
		r, err := http.NewRequestWithContext(ctx, http.MethodPost, f.webhook, bytes.NewReader(body))
		if err != nil {
			return err
		}
		r.Header.Set("Content-Type", "application/json")
		if key != nil {
			sum := hmac.New(sha256.New, key)
			sum.Write(body)
			r.Header.Set("X-Signature-256", "sha256="+hex.EncodeToString(sum.Sum(nil)))
		}
		res, err := client.Do(r)
		if err != nil {
			return err
		}
		defer res.Body.Close() // what is answered is not read
		if res.StatusCode/100 != 2 {
			return fmt.Errorf("the webhook answers %s", res.Status)
		}
		return nil
	}, nil
}

// mail sends notices by SMTP, encrypted where the server offers it.
func (f *noticeFlags) mail() (func(context.Context, app.Notice) error, error) {
	host, _, err := net.SplitHostPort(f.server)
	if err != nil {
		return nil, usageError{fmt.Errorf("--notice-mail-server %q is no host and port", f.server)}
	}
	from, err := mail.ParseAddress(f.from)
	to, err2 := mail.ParseAddress(f.to)
	if err != nil || err2 != nil {
		return nil, usageError{errors.New("--notice-mail-from and --notice-mail-to are one address of e-mail each")}
	}
	return func(ctx context.Context, n app.Notice) (err error) {
		dialer := net.Dialer{Timeout: noticeWait}
		conn, err := dialer.DialContext(ctx, "tcp", f.server)
		if err != nil {
			return err
		}
		if err := conn.SetDeadline(time.Now().Add(noticeWait)); err != nil {
			return errors.Join(err, conn.Close())
		}
		client, err := smtp.NewClient(conn, host)
		if err != nil {
			return errors.Join(err, conn.Close())
		}
		if err := sendMail(client, host, from, to, n); err != nil {
			return errors.Join(err, client.Close())
		}
		return client.Quit()
	}, nil
}

func sendMail(client *smtp.Client, host string, from, to *mail.Address, n app.Notice) error {
	if ok, _ := client.Extension("STARTTLS"); ok {
		if err := client.StartTLS(&tls.Config{ServerName: host, MinVersion: tls.VersionTLS12}); err != nil {
			return err
		}
	}
	if err := client.Mail(from.Address); err != nil {
		return err
	}
	if err := client.Rcpt(to.Address); err != nil {
		return err
	}
	w, err := client.Data()
	if err != nil {
		return err
	}
	if _, err := w.Write(mailOf(from, to, n)); err != nil {
		return err
	}
	return w.Close()
}

// mailOf writes a notice as a mail (RFC 5322). What was heard comes from a panel, and is in the text alone.
func mailOf(from, to *mail.Address, n app.Notice) []byte {
	subject := mime.QEncoding.Encode("utf-8", oneLine(n.Site)+": heard from the panel")
	head := []string{
		"From: " + from.String(), "To: " + to.String(), "Subject: " + subject, "Date: " + n.At.UTC().Format(time.RFC1123Z),
		"MIME-Version: 1.0", "Content-Type: text/plain; charset=utf-8", "Content-Transfer-Encoding: 8bit",
	}
	text := strings.ReplaceAll(n.Text(), "\n", "\r\n")
	return []byte(strings.Join(head, "\r\n") + "\r\n\r\n" + text + "\r\n")
}
