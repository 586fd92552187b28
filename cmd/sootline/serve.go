package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

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
			"  sootline serve --listen 0.0.0.0:8344 --tls-cert cert.pem --tls-key key.pem",
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
	cmd.MarkFlagsRequiredTogether("tls-cert", "tls-key")
	cmd.MarkFlagsMutuallyExclusive("lan", "domain", "tls-cert")
	cmd.AddCommand(personCommand(s))
	return cmd
}

func (s *session) serve(ctx context.Context, a *app.App, flags serveFlags) (err error) {
	loopback, err := mayListen(ctx, a, flags)
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
	a.Working = nil // the terminal belongs to the log of requests
	handler, err := web.New(web.Config{
		App: a, Loopback: loopback, TLS: vouched.config != nil, Zone: time.Local, Trust: vouched.trust,
		DemoFolder: filepath.Join(filepath.Dir(a.Book.Path()), "demo-listings"), Uploads: uploads, Log: s.err,
		Firm: func() (paper.Firm, error) { return readFirm("") }, FirmFile: firmFile(),
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
	return s.answerRequests(ctx, listener, handler, vouched.config)
}

// mayListen refuses an address that others reach unless the way there is
// encrypted and somebody can sign in, and reports whether it is this machine's own.
func mayListen(ctx context.Context, a *app.App, flags serveFlags) (loopback bool, err error) {
	host, _, err := net.SplitHostPort(flags.listen)
	if err != nil {
		return false, sootline.Errorf(sootline.Invalid, "for example --listen 127.0.0.1:8344", "%q is not an address and port", flags.listen)
	}
	if ip := net.ParseIP(host); host == "localhost" || ip != nil && ip.IsLoopback() {
		return true, nil
	}
	if flags.cert == "" && !flags.lan && flags.domain == "" {
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
		IdleTimeout: idleTimeout, MaxHeaderBytes: mostHead,
	}
	stopped := make(chan error, 1)
	go func() {
		<-ctx.Done()
		wait, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
		defer cancel()
		stopped <- server.Shutdown(wait)
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

func personCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{Use: "person", Short: "Who may sign in to the web application", Args: cobra.NoArgs}
	cmd.AddCommand(personAdd(s), personList(s))
	return cmd
}

func personAdd(s *session) *cobra.Command {
	var role string
	cmd := &cobra.Command{
		Use: "add NAME", Short: "Let somebody sign in, or give somebody another role and password",
		Long: "Let somebody sign in to the web application, or give somebody another role and password.\n" +
			"The password is typed twice; from a pipe it is the first line. A technician reads everything\n" +
			"and adds entries; a manager also looks after sites and people.",
		Example: "  sootline serve person add \"A. Tech\" --role technician",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), true, func(a *app.App) error {
				password, err := s.password()
				if err != nil {
					return err
				}
				if err := a.AddPerson(cmd.Context(), args[0], sootline.Role(role), password); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s may sign in as %s.\n", args[0], role)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&role, "role", string(sootline.Technician), "technician or manager")
	return cmd
}

// password asks for a password twice on a terminal, without showing it; from
// anything else it is the first line.
func (s *session) password() (string, error) {
	f, ok := s.in.(*os.File)
	if !ok || !terminal(f) {
		line, err := bufio.NewReader(s.in).ReadString('\n')
		if err != nil && line == "" {
			return "", sootline.Errorf(sootline.Invalid, "give it on the first line of the input", "there is no password")
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	fmt.Fprint(s.err, "Password: ")
	once, err := term.ReadPassword(int(f.Fd()))
	if err != nil {
		return "", fmt.Errorf("read password: %w", err)
	}
	fmt.Fprint(s.err, "\nOnce more: ")
	again, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(s.err)
	if err != nil {
		return "", fmt.Errorf("read password: %w", err)
	}
	if string(once) != string(again) {
		return "", sootline.Errorf(sootline.Invalid, "do it again", "the two passwords are not the same")
	}
	return string(once), nil
}

func personList(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "List who may sign in",
		Example: "  sootline serve person list",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				people, err := a.People(cmd.Context())
				if err != nil {
					return err
				}
				if len(people) == 0 {
					_, err := fmt.Fprintln(s.out, "Nobody. On this machine's own address no one needs to sign in.")
					return err
				}
				var rows [][]string
				for _, p := range people {
					rows = append(rows, []string{p.Name, string(p.Role), p.Added.Format(time.DateOnly)})
				}
				return printTable(s.out, []string{"name", "role", "since"}, rows)
			})
		},
	}
}
