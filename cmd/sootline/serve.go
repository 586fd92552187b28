package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/web"
)

// serveFlags say where the web application is reached.
type serveFlags struct {
	listen, cert, key string
	lan               bool
	domain            string
	proxies           []string
	sources           bool
	mayOpen           []string
	heardDays         int
	notices           noticeFlags
	keep              keepFlags
}

func serveCommand(s *session) *cobra.Command {
	var flags serveFlags
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Open the book in a browser",
		Long: "Open the book in a browser: the same work for people who would rather look. It is reached\n" +
			"from this machine only, unless --listen says otherwise; then it needs a certificate, and a\n" +
			"manager with a password (`sootline serve person add`). With --lan it makes its own certificate,\n" +
			"for the phones of a visit; with --domain it gets one for a public name by ACME, and so agrees\n" +
			"to the terms of the authority, Let's Encrypt.",
		Example: "  sootline serve\n  sootline serve --lan\n  sootline serve --domain book.example.org --listen 0.0.0.0:443\n" +
			"  sootline serve --listen 0.0.0.0:8344 --tls-cert cert.pem --tls-key key.pem\n  sootline serve --backup /mnt/disk/backups --backup-recipient age1...",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if flags.lan && !cmd.Flags().Changed("listen") {
				flags.listen = "0.0.0.0:8344"
			}
			return s.open(cmd.Context(), true, func(a *app.App) error { return s.serve(cmd.Context(), a, flags) })
		},
	}
	cmd.Flags().StringVar(&flags.listen, "listen", "127.0.0.1:8344", "address and port")
	cmd.Flags().StringVar(&flags.cert, "tls-cert", "", "file with the certificate and those above it, PEM")
	cmd.Flags().StringVar(&flags.key, "tls-key", "", "file with its private key, PEM")
	cmd.Flags().BoolVar(&flags.lan, "lan", false, "for phones on this network, with a certificate of its own")
	cmd.Flags().StringVar(&flags.domain, "domain", "", "public name of this machine, to get a certificate for by ACME")
	cmd.Flags().StringArrayVar(&flags.proxies, "proxy", nil, "address or network of a proxy in front, which answers by https and says in X-Forwarded-For who asks")
	cmd.Flags().BoolVar(&flags.sources, "sources", false, "listen to the sources that are kept with the sites, too")
	cmd.Flags().StringArrayVar(&flags.mayOpen, "source-path", nil, "a serial port or file of this machine that a source may name; several times")
	cmd.Flags().IntVar(&flags.heardDays, "heard-days", 60, "for how many days what is heard is kept as it came")
	flags.notices.add(cmd)
	flags.keep.add(cmd)
	cmd.MarkFlagsRequiredTogether("tls-cert", "tls-key")
	cmd.MarkFlagsMutuallyExclusive("lan", "domain", "tls-cert")
	cmd.AddCommand(personCommand(s), tokenCommand(s))
	return cmd
}

func (s *session) serve(ctx context.Context, a *app.App, flags serveFlags) (err error) {
	proxies, err := proxiesOf(flags.proxies)
	if err != nil {
		return err
	}
	loopback, err := mayListen(ctx, a, flags)
	if err != nil {
		return err
	}
	a.Working = nil // the terminal belongs to the log of requests
	keeping, err := s.keeping(a, &flags.keep)
	if err != nil {
		return err
	}
	beside, err := besideBook(a)
	if err != nil {
		return err
	}
	uploads, err := os.MkdirTemp("", "sootline-uploads-*")
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "say in TMPDIR where there is room", "no folder for uploads could be made: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(uploads)) }()
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", flags.listen)
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "choose another with --listen 127.0.0.1:PORT", "cannot listen on %s: %w", flags.listen, err)
	}
	vouched, err := s.vouch(ctx, a, flags, listener.Addr())
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	defer vouched.stop()
	handler, err := web.New(web.Config{
		App: a, Loopback: loopback, TLS: vouched.config != nil || len(proxies) > 0, Proxies: proxies, Zone: time.Local, Trust: vouched.trust,
		DemoFolder: filepath.Join(filepath.Dir(beside), "demo-listings"), Uploads: uploads, Log: s.err,
		Keeping: keeping,
		Firm:    func() (paper.Firm, error) { return readFirm("") }, FirmFile: firmFile(),
	})
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	scheme := "http"
	if vouched.config != nil {
		scheme = "https"
	}
	fmt.Fprintf(s.out, "Book %s is open at %s://%s/ (Ctrl-C closes it).\n", a.Book.Path(), scheme, listener.Addr())
	if err := s.printTrust(vouched.trust); err != nil {
		return errors.Join(err, listener.Close())
	}
	return s.hearMeanwhile(ctx, a, flags, func(ctx context.Context) error {
		return s.headsMeanwhile(ctx, a, func() error {
			return keepMeanwhile(ctx, keeping, func() error { return s.answerRequests(ctx, listener, handler, vouched.config) })
		})
	})
}

// mayListen refuses an address that others reach unless the way there is
// encrypted and somebody can sign in, and reports whether it is this machine's own.
func mayListen(ctx context.Context, a *app.App, flags serveFlags) (loopback bool, err error) {
	host, _, err := net.SplitHostPort(flags.listen)
	if err != nil {
		return false, sootline.Errorf(sootline.Invalid, "for example --listen 127.0.0.1:8344", "%q is not an address and port", flags.listen)
	}
	ip := net.ParseIP(host)
	own := host == "localhost" || ip != nil && ip.IsLoopback()
	if own && len(flags.proxies) == 0 {
		return true, nil
	}
	if !own && flags.cert == "" && !flags.lan && flags.domain == "" {
		return false, sootline.Errorf(sootline.Invalid, "give --lan for phones on this network, --tls-cert and --tls-key or --domain for others, or leave --listen at this machine's own 127.0.0.1",
			"others could reach %s, and what they type would cross the network unencrypted", flags.listen)
	}
	people, err := a.People(ctx)
	if err != nil {
		return false, err
	}
	for _, p := range people {
		if p.Role == sootline.Manager {
			return false, nil
		}
	}
	return false, sootline.Errorf(sootline.Invalid, "add one with `sootline serve person add NAME --role manager`", "others could reach %s, and no manager can sign in yet", flags.listen)
}

// proxiesOf reads the networks of proxies.
func proxiesOf(texts []string) (all []netip.Prefix, err error) {
	for _, text := range texts {
		network, err := netip.ParsePrefix(text)
		if at, wrong := netip.ParseAddr(text); wrong == nil {
			network, err = at.Prefix(at.BitLen())
		}
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "for example --proxy 127.0.0.1 or --proxy 10.1.0.0/16", "%q is no address and no network", text)
		}
		all = append(all, network)
	}
	return all, nil
}

// How long a request may take to arrive and to be answered, how much its head may
// hold, and how long those under way may take once the server is told to stop.
const (
	headTimeout   = 5 * time.Second
	bodyTimeout   = 60 * time.Second
	answerTimeout = 90 * time.Second
	idleTimeout   = 2 * time.Minute
	stopTimeout   = 10 * time.Second
	mostHead      = 16 << 10
)

// answerRequests serves until the context ends, then lets requests under way finish.
func (s *session) answerRequests(ctx context.Context, listener net.Listener, handler http.Handler, vouched *tls.Config) error {
	server := &http.Server{
		Handler: handler, TLSConfig: vouched, ReadHeaderTimeout: headTimeout, ReadTimeout: bodyTimeout, WriteTimeout: answerTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: mostHead, ErrorLog: log.New(s.err, "", log.LstdFlags),
	}
	stopped := make(chan error, 1)
	go func() {
		<-ctx.Done()
		var err error
		defer func() { stopped <- err }()
		defer sootline.Caught(&err)
		wait, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
		defer cancel()
		err = server.Shutdown(wait)
	}()
	var err error
	if vouched != nil {
		err = server.ServeTLS(listener, "", "")
	} else {
		err = server.Serve(listener)
	}
	if !errors.Is(err, http.ErrServerClosed) {
		return sootline.Errorf(sootline.Unavailable, "look at the certificate and its key", "serve: %w", err)
	}
	if err := <-stopped; err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	_, err = fmt.Fprintln(s.out, "Closed.")
	return err
}
