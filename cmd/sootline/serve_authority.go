package main

import (
	"bytes"
	"cmp"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"math/big"
	"net"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"sootline"
)

// authority is this machine's own: it vouches for this machine's name and for
// addresses of private networks, and its certificate says that it can vouch for
// nothing else (RFC 5280, 4.2.1.10).
type authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

const (
	authorityLife = 10 * 365 * 24 * time.Hour
	serverLife    = 397 * 24 * time.Hour // phones refuse longer ones (CA/Browser Forum baseline requirements, 6.3.2; from memory)
	serverRenew   = 30 * 24 * time.Hour
)

// lanNames is how this machine is called on its network.
type lanNames struct {
	name string
	ips  []net.IP
}

func lanHosts() (lanNames, error) {
	name, err := os.Hostname()
	if err != nil {
		name = "sootline"
	}
	name, _, _ = strings.Cut(strings.ToLower(name), ".")
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return lanNames{}, sootline.Errorf(sootline.Unavailable, "", "find this machine's addresses: %w", err)
	}
	names := lanNames{name: name}
	for _, address := range addresses {
		if n, ok := address.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsPrivate() {
			names.ips = append(names.ips, n.IP)
		}
	}
	return names, nil
}

// openAuthority opens the authority that is kept in a file, or makes one that only
// its owner may read.
func openAuthority(path, name string, now func() time.Time) (*authority, error) {
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return makeAuthority(path, name, now())
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "read %s: %w", path, err)
	}
	a, err := readAuthority(text)
	switch {
	case err != nil:
		return nil, sootline.Errorf(sootline.Damaged, "delete the file; phones then have to trust the new one", "the authority in %s cannot be read: %w", path, err)
	case now().After(a.cert.NotAfter.Add(-serverLife)):
		return nil, sootline.Errorf(sootline.Conflict, "delete the file; phones then have to trust the new one", "the authority in %s ends on %s", path, a.cert.NotAfter.Format(time.DateOnly))
	case !slices.Contains(a.cert.PermittedDNSDomains, name):
		return nil, sootline.Errorf(sootline.Conflict, "delete the file; phones then have to trust the new one",
			"the authority in %s is for a machine called %s, and this one is called %s", path, strings.Join(a.cert.PermittedDNSDomains, ", "), name)
	}
	return a, nil
}

func readAuthority(text []byte) (*authority, error) {
	pair, err := tls.X509KeyPair(text, text)
	if err != nil {
		return nil, err
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok {
		return nil, errors.New("its key is of another kind")
	}
	return &authority{pair.Leaf, key}, nil
}

func makeAuthority(path, name string, now time.Time) (*authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serialNumber(), Subject: pkix.Name{CommonName: "Sootline on " + name},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(authorityLife),
		KeyUsage: x509.KeyUsageCertSign, BasicConstraintsValid: true, IsCA: true, MaxPathLenZero: true,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: []string{name, name + ".local"}, PermittedIPRanges: privateRanges(),
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	for _, block := range []*pem.Block{{Type: "CERTIFICATE", Bytes: der}, {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := pem.Encode(&text, block); err != nil {
			return nil, err
		}
	}
	if err := keepSecret(path, text.Bytes()); err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "the folder of the book must be writable", "write %s: %w", path, err)
	}
	return readAuthority(text.Bytes())
}

// keepSecret writes a file that only its owner may read, whole or not at all.
func keepSecret(path string, text []byte) error {
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) { // of a start that was killed
		return err
	}
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	return os.Rename(part, path)
}

// privateRanges are the private networks of RFC 1918, and this machine itself.
func privateRanges() []*net.IPNet {
	var ranges []*net.IPNet
	for _, r := range []struct {
		ip   net.IP
		bits int
	}{{net.IPv4(10, 0, 0, 0), 8}, {net.IPv4(172, 16, 0, 0), 12}, {net.IPv4(192, 168, 0, 0), 16}, {net.IPv4(127, 0, 0, 0), 8}} {
		ranges = append(ranges, &net.IPNet{IP: r.ip.To4(), Mask: net.CIDRMask(r.bits, 32)})
	}
	return ranges
}

func serialNumber() *big.Int {
	var b [16]byte
	rand.Read(b[:]) //nolint:errcheck // it never fails (crypto/rand)
	b[0] &= 0x7f    // positive (RFC 5280, 4.1.2.2)
	return new(big.Int).SetBytes(b[:])
}

// server gives the certificate of this machine, which is made when it is first asked
// for and again before it runs out. It is kept nowhere.
func (a *authority) server(hosts lanNames, now func() time.Time) func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	var mu sync.Mutex
	var current *tls.Certificate
	return func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
		mu.Lock()
		defer mu.Unlock()
		if current != nil && now().Before(current.Leaf.NotAfter.Add(-serverRenew)) {
			return current, nil
		}
		fresh, err := a.issue(hosts, now())
		if err == nil {
			current = fresh
		}
		return cmp.Or(fresh, current), err
	}
}

func (a *authority) issue(hosts lanNames, now time.Time) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serialNumber(), Subject: pkix.Name{CommonName: hosts.name},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(serverLife), KeyUsage: x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, DNSNames: []string{hosts.name, hosts.name + ".local"},
		IPAddresses: append(slices.Clone(hosts.ips), net.IPv4(127, 0, 0, 1)), BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, err
}
