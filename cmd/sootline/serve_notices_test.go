package main

import (
	"bufio"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// heardAlarm is something that was heard at an instant.
func heardAlarm(at time.Time, body sootline.Body) *app.Told {
	return &app.Told{Point: "1.1.007", Wrote: []sootline.Entry{{At: at, Body: body}}}
}

// TestNotices: alarms and faults that are heard are posted, signed, and mailed: the first at once, what comes in the pause after it
// together; tests, what is old and restored is no news; what is not taken is tried again.
func TestNotices(t *testing.T) {
	var lock sync.Mutex
	var posts []app.Notice
	refuse := true
	hook := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		sum := hmac.New(sha256.New, []byte("hush"))
		sum.Write(body)
		lock.Lock()
		defer lock.Unlock()
		var n app.Notice
		if err != nil || json.Unmarshal(body, &n) != nil || r.Header.Get("X-Signature-256") != "sha256="+hex.EncodeToString(sum.Sum(nil)) {
			t.Errorf("%s: %v", body, r.Header)
		}
		if refuse {
			refuse = false
			w.WriteHeader(http.StatusBadGateway)
			return
		}
		posts = append(posts, n)
	}))
	defer hook.Close()
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("hush\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	flags := noticeFlags{webhook: hook.URL, secret: secret, pause: time.Second}
	n, err := flags.notices(func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() { defer close(ended); n.Run(ctx) }()
	site := sootline.ID{1}
	at := now()
	for _, body := range []sootline.Body{sootline.Tested{}, sootline.Alarm{Category: sootline.TestAlarm}, sootline.Restored{}} {
		n.Heard(site, "Works", heardAlarm(at, body), time.UTC)
	}
	n.Heard(site, "Works", heardAlarm(at.AddDate(0, 0, -1), sootline.Alarm{}), time.UTC)
	for range 30 {
		n.Heard(site, "Works", heardAlarm(at, sootline.Alarm{Text: "heard from printer: alarm"}), time.UTC)
	}
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		lock.Lock()
		done := len(posts) > 0
		lock.Unlock()
		if done || time.Now().After(end) {
			break
		}
	}
	cancel()
	<-ended
	if len(posts) != 1 || len(posts[0].Lines) != 20 || posts[0].More != 10 || posts[0].Site != "Works" || !strings.Contains(posts[0].Lines[0], "1.1.007") {
		t.Errorf("posted: %+v", posts)
	}
}

// TestNoticeByMail: a mail has the notice in its text, and nothing of what a panel says in its head.
func TestNoticeByMail(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	mails := make(chan string, 1)
	go takeMail(listener, mails)
	flags := noticeFlags{server: listener.Addr().String(), from: "panel@example.org", to: "A. Tech <tech@example.org>", pause: time.Minute}
	n, err := flags.notices(func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	evil := "Works\r\nBcc: other@example.org"
	if err := n.Send(t.Context(), app.Notice{Site: evil, At: now(), Lines: []string{"1.1.007, alarm", ".", "the end"}}); err != nil {
		t.Fatal(err)
	}
	mail := <-mails
	head, text, _ := strings.Cut(mail, "\r\n\r\n")
	if strings.Contains(head, "\r\nBcc:") || !strings.Contains(head, "To: \"A. Tech\" <tech@example.org>") || !strings.Contains(text, "1.1.007, alarm\r\n..\r\nthe end") {
		t.Errorf("the mail:\n%s", mail)
	}
}

// takeMail takes one mail as a server does (RFC 5321), and gives what was sent as its data.
func takeMail(listener net.Listener, mails chan<- string) {
	conn, err := listener.Accept()
	if err != nil {
		return
	}
	defer conn.Close()
	in := bufio.NewReader(conn)
	fmt.Fprint(conn, "220 mail.example.org\r\n")
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		switch {
		case strings.HasPrefix(line, "DATA"):
			fmt.Fprint(conn, "354 go on\r\n")
			var all strings.Builder
			for line, err = in.ReadString('\n'); err == nil && line != ".\r\n"; line, err = in.ReadString('\n') {
				all.WriteString(line)
			}
			mails <- all.String()
			fmt.Fprint(conn, "250 taken\r\n")
		case strings.HasPrefix(line, "QUIT"):
			fmt.Fprint(conn, "221 bye\r\n")
			return
		default:
			fmt.Fprint(conn, "250 yes\r\n")
		}
	}
}
