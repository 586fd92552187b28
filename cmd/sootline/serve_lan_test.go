package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline"
)

// TestServeLAN starts the server as for phones, fetches the authority where nothing
// needs to be trusted, and then trusts it; started again, the authority is the same.
func TestServeLAN(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	book := filepath.Join(t.TempDir(), "book.db")
	if code := run(t.Context(), []string{"serve", "--lan", "--book", book}, strings.NewReader(""), io.Discard, io.Discard); code == exitDone {
		t.Fatal("others reach a book without a manager")
	}
	add := []string{"serve", "person", "add", "M. Manager", "--role", "manager", "--book", book}
	if code := run(t.Context(), add, strings.NewReader("seven quiet lanterns\n"), io.Discard, io.Discard); code != exitDone {
		t.Fatalf("adding a person gives %d", code)
	}
	var authorities [2][]byte
	for i := range authorities {
		authorities[i] = lanOnce(t, book)
	}
	if !bytes.Equal(authorities[0], authorities[1]) {
		t.Error("another start made another authority, so that phones trust it no more")
	}
	info, err := os.Stat(book + ".authority")
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the authority's key lies as %v, %v", info.Mode(), err)
	}
}

func lanOnce(t *testing.T, book string) (authority []byte) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	out, in := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "--lan", "--book", book, "--listen", "0.0.0.0:0"}, os.Stdin, in, io.Discard)
		in.Close()
	}()
	head := make([]byte, 400)
	n, err := io.ReadAtLeast(out, head, 20)
	if err != nil {
		t.Fatal(err)
	}
	go io.Copy(io.Discard, out) //nolint:errcheck // what it prints further is looked at elsewhere
	port := regexp.MustCompile(`https://\S+:(\d+)/`).FindStringSubmatch(string(head[:n]))
	if port == nil {
		t.Fatalf("no address in %q", head[:n])
	}
	number, err := strconv.Atoi(port[1])
	if err != nil {
		t.Fatal(err)
	}
	plain := &http.Client{Timeout: 10 * time.Second}
	base := "http://127.0.0.1:" + strconv.Itoa(number+1)
	authority = fetch(t, plain, base+"/authority.crt", http.StatusOK)
	if page := fetch(t, plain, base+"/", http.StatusOK); !bytes.Contains(page, []byte("Compare before you trust")) {
		t.Error("the page says nothing of comparing")
	}
	fetch(t, plain, base+"/site/any", http.StatusNotFound)
	cert, err := x509.ParseCertificate(authority)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(cert)
	trusting := &http.Client{Timeout: 10 * time.Second, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}}
	fetch(t, trusting, "https://127.0.0.1:"+port[1]+"/healthz", http.StatusOK)
	if _, err := plain.Get("https://127.0.0.1:" + port[1] + "/healthz"); err == nil {
		t.Error("a client that does not know the authority trusts it")
	}
	stop()
	if code := <-ended; code != exitDone {
		t.Errorf("exit code %d", code)
	}
	return authority
}

func fetch(t *testing.T, client *http.Client, address string, want int) []byte {
	t.Helper()
	res, err := client.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != want {
		t.Fatalf("%s gives %d, %v", address, res.StatusCode, err)
	}
	return body
}

// TestAuthorityIsConstrained: what the authority would say of anybody else is not
// believed.
func TestAuthorityIsConstrained(t *testing.T) {
	now := time.Now
	path := filepath.Join(t.TempDir(), "authority")
	own := net.IPv4(192, 168, 7, 20)
	desk := lanNames{"desk", []net.IP{own}, []*net.IPNet{{IP: net.IPv4(192, 168, 7, 0).To4(), Mask: net.CIDRMask(24, 32)}}}
	a, err := openAuthority(path, desk, now)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(a.cert)
	for _, c := range []struct {
		what  string
		names lanNames
		ask   string
		want  bool
	}{
		{"its own name", lanNames{name: "desk"}, "desk", true},
		{"its own address", lanNames{name: "desk", ips: []net.IP{own}}, "192.168.7.20", true},
		{"another name", lanNames{name: "bank.example"}, "bank.example", false},
		{"an address of another private network", lanNames{name: "desk", ips: []net.IP{net.IPv4(192, 168, 8, 1)}}, "192.168.8.1", false},
		{"a public address", lanNames{name: "desk", ips: []net.IP{net.IPv4(8, 8, 8, 8)}}, "8.8.8.8", false},
	} {
		cert, err := a.issue(c.names, now())
		if err != nil {
			t.Fatal(err)
		}
		_, err = cert.Leaf.Verify(x509.VerifyOptions{Roots: pool, DNSName: c.ask})
		if (err == nil) != c.want {
			t.Errorf("%s: %v", c.what, err)
		}
		if cert.Leaf.NotAfter.Sub(cert.Leaf.NotBefore) > 398*24*time.Hour {
			t.Errorf("%s: it lasts %v, longer than phones take", c.what, cert.Leaf.NotAfter.Sub(cert.Leaf.NotBefore))
		}
	}
	if _, err := openAuthority(filepath.Join(t.TempDir(), "none", "authority"), desk, now); err == nil {
		t.Error("an authority that cannot be kept is used all the same")
	}
	a.vouchesForNoMail(t, pool)
	if _, err := openAuthority(path, desk, now); err != nil {
		t.Error("the authority that was made is not opened again: ", err)
	}
	desk.ips = []net.IP{net.IPv4(10, 1, 2, 3)}
	if _, err := openAuthority(path, desk, now); sootline.ErrorCode(err) != sootline.Conflict {
		t.Error("in another network, where no phone would believe it, it says nothing: ", err)
	}
}

// vouchesForNoMail: a certificate for e-mail by the authority is not believed.
func (a *authority) vouchesForNoMail(t *testing.T, pool *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	for _, use := range []x509.ExtKeyUsage{x509.ExtKeyUsageEmailProtection, x509.ExtKeyUsageServerAuth} {
		template := &x509.Certificate{
			SerialNumber: serialNumber(), Subject: pkix.Name{CommonName: "somebody"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
			KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{use}, EmailAddresses: []string{"somebody@desk"}, BasicConstraintsValid: true,
		}
		der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := leaf.Verify(x509.VerifyOptions{Roots: pool, KeyUsages: []x509.ExtKeyUsage{use}}); err == nil {
			t.Errorf("a certificate for e-mail, for use %v, is believed", use)
		}
	}
}

// A certificate for a public name is asked for that name alone.
func TestACMEAsksForOneName(t *testing.T) {
	m := acmeFor("book.example.org", t.TempDir())
	if err := m.HostPolicy(t.Context(), "book.example.org"); err != nil {
		t.Error(err)
	}
	if m.HostPolicy(t.Context(), "other.example.org") == nil {
		t.Error("any name that somebody asks for would get a certificate")
	}
	if !slices.Contains(m.TLSConfig().NextProtos, "acme-tls/1") { // RFC 8737, section 3
		t.Error("the authority's question would not be answered")
	}
}
