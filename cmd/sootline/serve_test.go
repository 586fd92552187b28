package main

import (
	"bufio"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// TestServe starts the web application as people do, asks it, and stops it.
func TestServe(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	book := filepath.Join(t.TempDir(), "book.db")
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, in := io.Pipe()
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"serve", "--book", book, "--listen", "127.0.0.1:0"}, os.Stdin, in, io.Discard)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatal("serve says nothing")
	}
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`).FindString(lines.Text())
	client := &http.Client{Timeout: 10 * time.Second}
	for path, want := range map[string]int{"healthz": http.StatusOK, "": http.StatusOK, "metrics": http.StatusOK, "site/none": http.StatusNotFound} {
		res, err := client.Get(address + path)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != want {
			t.Errorf("/%s gives %d, want %d", path, res.StatusCode, want)
		}
	}
	stop()
	if !lines.Scan() || lines.Text() != "Closed." {
		t.Errorf("at the end it says %q", lines.Text())
	}
	if c := <-code; c != exitDone {
		t.Errorf("exit code %d", c)
	}
	if _, err := client.Get(address); err == nil {
		t.Error("it still answers")
	}
}

// TestServeTLS lets a person sign in over https, on an address that others could
// reach, with a certificate made for the test.
func TestServeTLS(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	folder := t.TempDir()
	book, cert, key := filepath.Join(folder, "book.db"), filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	trusted := makeCertificate(t, cert, key)
	const password = "seven quiet lanterns"
	add := []string{"serve", "person", "add", "M. Manager", "--role", "manager", "--book", book}
	if code := run(t.Context(), add, strings.NewReader(password+"\n"), io.Discard, io.Discard); code != exitDone {
		t.Fatalf("adding a person gives %d", code)
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, in := io.Pipe()
	go func() {
		run(ctx, []string{"serve", "--book", book, "--listen", "0.0.0.0:0", "--tls-cert", cert, "--tls-key", key}, os.Stdin, in, io.Discard)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatal("serve says nothing")
	}
	port := regexp.MustCompile(`:(\d+)/`).FindStringSubmatch(lines.Text())
	if port == nil {
		t.Fatalf("no port in %q", lines.Text())
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Timeout: 10 * time.Second, Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}}}
	address := "https://127.0.0.1:" + port[1]
	ask := func(form url.Values) (where string) {
		t.Helper()
		res, err := client.PostForm(address+"/sign-in", form)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		return fmt.Sprint(res.StatusCode, " ", res.Request.URL.Path)
	}
	if got := ask(url.Values{"name": {"M. Manager"}, "password": {"a wrong password"}}); got != "422 /sign-in" {
		t.Errorf("a wrong password leads to %s", got)
	}
	if got := ask(url.Values{"name": {"M. Manager"}, "password": {password}}); got != "200 /" {
		t.Errorf("the right password leads to %s", got)
	}
	for version, taken := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		conn, err := tls.Dial("tcp", "127.0.0.1:"+port[1], &tls.Config{RootCAs: trusted, MinVersion: version, MaxVersion: version})
		if (err == nil) != taken {
			t.Errorf("%s: %v", tls.VersionName(version), err)
		}
		if err == nil {
			conn.Close()
		}
	}
	stop()
	lines.Scan()
}

// makeCertificate writes a certificate for 127.0.0.1 that signs itself.
func makeCertificate(t *testing.T, cert, key string) *x509.CertPool {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, BasicConstraintsValid: true, IsCA: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	for name, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(name, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pool := x509.NewCertPool()
	signed, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	pool.AddCert(signed)
	return pool
}
