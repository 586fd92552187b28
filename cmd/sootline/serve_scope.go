package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
)

// scopeFlags say to which sites somebody is bound.
type scopeFlags struct{ sites, customers []string }

func (f *scopeFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringArrayVar(&f.sites, "site", nil, "bound to this site, by its name; may be given again")
	cmd.Flags().StringArrayVar(&f.customers, "customer", nil, "bound to all sites of this customer, now and later; may be given again")
}

// read gives the scope: that of all sites where no flag is given.
func (f *scopeFlags) read(ctx context.Context, a *app.App) (app.Scope, error) {
	if len(f.sites)+len(f.customers) == 0 {
		return app.Scope{}, nil
	}
	return a.ScopeNamed(ctx, f.sites, f.customers)
}

func personSites(s *session) *cobra.Command {
	var scope scopeFlags
	var all, none bool
	cmd := &cobra.Command{
		Use: "sites NAME", Short: "Bind somebody to sites, or to none",
		Long: "Bind somebody to the sites that are named, in the place of those before; --all lets them see all. Any\n" +
			"other site is for them as if it did not exist, from their next click on. A manager who is bound looks\n" +
			"after these sites and after no people.",
		Example: "  sootline serve person sites \"A. Tech\" --site Works --customer \"Larch & Sons\"\n" +
			"  sootline serve person sites \"A. Tech\" --all",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				bound, err := scope.read(cmd.Context(), a)
				if err != nil {
					return err
				}
				if !all && !none && !bound.Bound {
					return usageError{fmt.Errorf("say which: --site NAME, --customer NAME, --none or --all")}
				}
				bound.Bound = bound.Bound || none
				if err := a.ChangeScope(cmd.Context(), args[0], bound); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s sees %s.\n", args[0], a.SayScope(cmd.Context(), bound))
				return err
			})
		},
	}
	scope.add(cmd)
	cmd.Flags().BoolVar(&all, "all", false, "bound to none: all sites")
	cmd.Flags().BoolVar(&none, "none", false, "no site at all, until some are given")
	cmd.MarkFlagsMutuallyExclusive("all", "none", "site")
	cmd.MarkFlagsMutuallyExclusive("all", "none", "customer")
	return cmd
}

func personInvite(s *session) *cobra.Command {
	var role string
	var scope scopeFlags
	cmd := &cobra.Command{
		Use: "invite NAME", Short: "Ask somebody in, who chooses a password of their own",
		Long: "Ask somebody in. What is printed comes after the address of your server: it is good once, for seven\n" +
			"days, and there they choose a password that nobody else knows. Asked in again, only the last holds.",
		Example: "  sootline serve person invite \"C. Client\" --role customer --site Works",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.open(cmd.Context(), true, func(a *app.App) error {
				bound, err := scope.read(cmd.Context(), a)
				if err != nil {
					return err
				}
				key, err := a.InvitePerson(cmd.Context(), args[0], sootline.Role(role), bound)
				if err != nil {
					return err
				}
				in, err := a.WelcomeOf(cmd.Context(), key)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "/welcome/%s\n%s comes in there as %s of %s, once, within seven days. Put the address of your server before it.\n", key, in.Name, in.Role, in.Sites)
				return err
			})
		},
	}
	cmd.Flags().StringVar(&role, "role", string(sootline.Technician), "customer, reader, technician or manager")
	scope.add(cmd)
	return cmd
}
