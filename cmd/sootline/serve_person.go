package main

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

func personCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{Use: "person", Short: "Who may sign in to the web application", Example: "  sootline serve person list\n  sootline serve person add \"M. Manager\" --role manager"}
	cmd.AddCommand(personAdd(s), personInvite(s), personList(s), personRole(s), personSites(s), personPassword(s), personSignOut(s), personFactorOff(s), personRemove(s), personLeave(s), personJournal(s))
	return cmd
}

func personAdd(s *session) *cobra.Command {
	var role string
	var scope scopeFlags
	cmd := &cobra.Command{
		Use: "add NAME", Short: "Let somebody sign in",
		Long: "Let somebody sign in to the web application. The password is typed twice; from a pipe it is the\n" +
			"first line. A reader reads everything and writes nothing; a technician also adds entries; a manager\n" +
			"also looks after sites and people. A customer reads what is known of the sites that are given with\n" +
			"--site or --customer, and of no others; anybody else may be bound to sites in the same way. A name\n" +
			"that is known is refused: see role, sites and password.",
		Example: "  sootline serve person add \"A. Tech\" --role technician\n" +
			"  sootline serve person add \"C. Client\" --role customer --site Works",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), true, func(a *app.App) error {
				bound, err := scope.read(cmd.Context(), a)
				if err != nil {
					return err
				}
				password, err := s.password()
				if err != nil {
					return err
				}
				if err := a.AddPersonFor(cmd.Context(), args[0], sootline.Role(role), bound, password); err != nil {
					return err
				}
				p, err := a.Person(cmd.Context(), args[0])
				if err != nil || p == nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s may sign in as %s of %s.\n", p.Name, p.Role, a.SayScope(cmd.Context(), p.Scope))
				return err
			})
		},
	}
	cmd.Flags().StringVar(&role, "role", string(sootline.Technician), "customer, reader, technician or manager")
	scope.add(cmd)
	return cmd
}

// personChange makes a command that changes somebody who may sign in.
func personChange(s *session, use, short, example, done string, change func(context.Context, *app.App, []string) error) *cobra.Command {
	return &cobra.Command{
		Use: use, Short: short, Example: "  sootline serve person " + example,
		Long: short + ". Sessions, phones and addresses for calendars of\nthat person open nothing any more, also in a server that runs.",
		Args: cobra.ExactArgs(len(strings.Fields(use)) - 1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if err := change(cmd.Context(), a, args); err != nil {
					return err
				}
				_, err := fmt.Fprintf(s.out, done+"\n", args[0])
				return err
			})
		},
	}
}

func personRole(s *session) *cobra.Command {
	return personChange(s, "role NAME ROLE", "Give somebody another role", "role \"A. Tech\" manager", "%s has another role, and signs in anew.",
		func(ctx context.Context, a *app.App, args []string) error {
			return a.ChangeRole(ctx, args[0], sootline.Role(args[1]))
		})
}

func personPassword(s *session) *cobra.Command {
	return personChange(s, "password NAME", "Give somebody another password", "password \"A. Tech\"", "%s has another password, and signs in anew.",
		func(ctx context.Context, a *app.App, args []string) error {
			password, err := s.password()
			if err != nil {
				return err
			}
			return a.ChangePassword(ctx, args[0], password)
		})
}

func personSignOut(s *session) *cobra.Command {
	return personChange(s, "sign-out NAME", "Sign somebody out everywhere", "sign-out \"A. Tech\"", "%s is signed out everywhere.",
		func(ctx context.Context, a *app.App, args []string) error { return a.SignOutEverywhere(ctx, args[0]) })
}

func personFactorOff(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "factor-off NAME", Short: "Take away second factor and passkeys of somebody who lost them",
		Example: "  sootline serve person factor-off \"A. Tech\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				if err := a.DropFactor(cmd.Context(), args[0]); err != nil {
					return err
				}
				_, err := fmt.Fprintf(s.out, "%s signs in by the password alone.\n", args[0])
				return err
			})
		},
	}
}

func personRemove(s *session) *cobra.Command {
	said := "%s may not sign in any more. What they wrote stays."
	cmd := personChange(s, "remove NAME", "Take somebody out of those who may sign in", "remove \"A. Tech\"", "", nil)
	cmd.Long += " Who is asked in and has not\ncome yet is asked in no more."
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		return s.open(cmd.Context(), false, func(a *app.App) error {
			err := a.TakeBack(cmd.Context(), args[0])
			switch sootline.ErrorCode(err) {
			case sootline.NotFound:
				err = a.RemovePerson(cmd.Context(), args[0])
			case "":
				said = "%s is asked in no more: the invitation is taken back."
			}
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(s.out, said+"\n", args[0])
			return err
		})
	}
	return cmd
}

func personJournal(s *session) *cobra.Command {
	var asCSV, asJSON bool
	var most int
	cmd := &cobra.Command{
		Use: "journal", Short: "Show the journal of security events, the latest first",
		Long:    "Show the journal of security events, the latest first: who signed in and failed to, and what was\ndone with people, roles, passwords, phones, imports and backups.",
		Example: "  sootline serve person journal --csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				events, broken, err := a.SecurityEvents(cmd.Context(), 0, most)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfSecurityEvents(events, broken))
				}
				head := []string{"at", "what", "by", "whom", "detail", "from"}
				var rows [][]string
				for _, e := range events {
					rows = append(rows, []string{e.At.Format(time.RFC3339), string(e.What), e.By, e.Whom, e.Detail, e.From})
				}
				if asCSV {
					err = printCSV(s.out, head, rows)
				} else if len(rows) > 0 {
					err = printTable(s.out, head, rows)
				}
				if err == nil {
					err = broken
				}
				return err
			})
		},
	}
	cmd.Flags().BoolVar(&asCSV, "csv", false, "as CSV")
	cmd.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	cmd.Flags().IntVar(&most, "most", 100, "how many lines, up to 10000")
	cmd.MarkFlagsMutuallyExclusive("csv", "json")
	return cmd
}

// password asks for a password twice on a terminal, without showing it; from
// anything else it is the first line.
func (s *session) password() (string, error) {
	once, typed, err := s.askPassword("Password: ")
	if err != nil || !typed {
		return once, err
	}
	again, _, err := s.askPassword("Once more: ")
	if err == nil && once != again {
		err = sootline.Errorf(sootline.Invalid, "do it again", "the two passwords are not the same")
	}
	return once, err
}

// knownPassword asks once for a password that is set already.
func (s *session) knownPassword() (string, error) {
	password, _, err := s.askPassword("Password: ")
	return password, err
}

// askPassword asks on a terminal, and else reads a line.
func (s *session) askPassword(prompt string) (password string, typed bool, err error) {
	f, ok := s.in.(*os.File)
	if !ok || !terminal(f) {
		line, err := bufio.NewReader(s.in).ReadString('\n')
		if err != nil && line == "" {
			return "", false, sootline.Errorf(sootline.Invalid, "give it on the first line of the input", "there is no password")
		}
		return strings.TrimRight(line, "\r\n"), false, nil
	}
	fmt.Fprint(s.err, prompt)
	text, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(s.err)
	if err != nil {
		return "", true, fmt.Errorf("read password: %w", err)
	}
	return string(text), true, nil
}

func personList(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "list", Short: "List who may sign in, and who is asked in",
		Example: "  sootline serve person list",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				people, err := a.People(cmd.Context())
				if err != nil {
					return err
				}
				invited, err := a.Invited(cmd.Context())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfMaySignIn(people, invited))
				}
				if len(people)+len(invited) == 0 {
					_, err := fmt.Fprintln(s.out, "Nobody. On this machine's own address no one needs to sign in.")
					return err
				}
				var rows [][]string
				for _, p := range people {
					rows = append(rows, []string{p.Name, string(p.Role), a.SayScope(cmd.Context(), p.Scope), p.Added.Format(time.DateOnly)})
				}
				for _, in := range invited {
					rows = append(rows, []string{in.Name, string(in.Role), in.Sites, "asked in, until " + in.Until.Format(time.DateOnly)})
				}
				return printTable(s.out, []string{"name", "role", "sites", "since"}, rows)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}
