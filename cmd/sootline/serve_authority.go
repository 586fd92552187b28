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

// authority is this machine's own: it vouches, as a server and as nothing else, for
// this machine's name and for addresses of the networks that the machine is in, and
// its certificate says so (RFC 5280, 4.2.1.10 and 4.2.1.12).
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
	name     string
	ips      []net.IP
	networks []*net.IPNet // of the addresses
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
			names.networks = append(names.networks, &net.IPNet{IP: n.IP.To4().Mask(n.Mask), Mask: n.Mask})
		}
	}
	return names, nil
}

// openAuthority opens the authority that is kept in a file, or makes one that only
// its owner may read.
func openAuthority(path string, hosts lanNames, now func() time.Time) (*authority, error) {
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return makeAuthority(path, hosts, now())
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
	case !slices.Contains(a.cert.PermittedDNSDomains, hosts.name):
		return nil, sootline.Errorf(sootline.Conflict, "delete the file; phones then have to trust the new one",
			"the authority in %s is for a machine called %s, and this one is called %s", path, strings.Join(a.cert.PermittedDNSDomains, ", "), hosts.name)
	}
	for _, ip := range hosts.ips {
		if !slices.ContainsFunc(a.cert.PermittedIPRanges, func(n *net.IPNet) bool { return n.Contains(ip) }) {
			return nil, sootline.Errorf(sootline.Conflict, "delete the file; phones then have to trust the new one",
				"the authority in %s is not for the network of this machine's address %s", path, ip)
		}
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

func makeAuthority(path string, hosts lanNames, now time.Time) (*authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serialNumber(), Subject: pkix.Name{CommonName: "Sootline on " + hosts.name},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(authorityLife),
		KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true, IsCA: true, MaxPathLenZero: true, PermittedDNSDomainsCritical: true,
		PermittedDNSDomains: []string{hosts.name, hosts.name + ".local"}, PermittedIPRanges: append(slices.Clone(hosts.networks), itself()),
		PermittedEmailAddresses: []string{noHost}, PermittedURIDomains: []string{noHost},
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

// noHost is a name that nobody has (RFC 2606): what is permitted for it alone is not
// permitted.
const noHost = "invalid"

// itself is the address by which the machine reaches itself.
func itself() *net.IPNet {
	return &net.IPNet{IP: net.IPv4(127, 0, 0, 1).To4(), Mask: net.CIDRMask(32, 32)}
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
