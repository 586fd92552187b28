package main

import (
	"context"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// completionCommand writes what a shell needs to complete command lines.
func completionCommand(s *session) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use: "completion SHELL", Short: "Write what a shell needs to complete command lines",
		Long: "Write what a shell needs to complete command lines: commands, flags, and out of the book sites, points,\n" +
			"loops and kinds. SHELL is bash, zsh, fish or powershell. A Debian package has it for the first three.",
		Example: "  sootline completion bash > ~/.local/share/bash-completion/completions/sootline\n" +
			"  sootline completion zsh > ~/.zfunc/_sootline\n" +
			"  sootline completion fish > ~/.config/fish/completions/sootline.fish",
		Args:      cobra.ExactArgs(1),
		ValidArgs: shells,
		RunE: func(cmd *cobra.Command, args []string) error {
			root, out := cmd.Root(), exact(s.out)
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(out, true)
			case "zsh":
				return root.GenZshCompletion(out)
			case "fish":
				return root.GenFishCompletion(out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(out)
			}
			return sootline.Errorf(sootline.Invalid, "the shells are "+strings.Join(shells, ", "), "there is no completion for %q", args[0])
		},
	}
}

// offer is what may stand in a place of a command line: a name, and what it says beside it.
type offer func(context.Context, *session) []cobra.Completion

// completing lets a shell complete, by what is asked for, the arguments and flags of a command and of those below it.
func completing(s *session, cmd *cobra.Command) {
	if cmd.ValidArgsFunction == nil && len(cmd.ValidArgs) == 0 {
		cmd.ValidArgsFunction = s.argumentsOf(cmd)
	}
	for word, from := range offers() {
		flags := []string{strings.ToLower(word)}
		if word == "POINT" {
			flags = append(flags, "place", "pin")
		}
		for _, flag := range flags {
			if cmd.LocalFlags().Lookup(flag) == nil {
				continue
			}
			cmd.RegisterFlagCompletionFunc(flag, func(cmd *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) { //nolint:errcheck // the flag is there, and has none yet
				return s.offered(cmd, from, typed)
			})
		}
	}
	for _, sub := range cmd.Commands() {
		completing(s, sub)
	}
}

// argumentsOf completes the arguments of a command by the first word behind its name in its usage line; nil where
// nothing is offered for that.
func (s *session) argumentsOf(cmd *cobra.Command) cobra.CompletionFunc {
	_, first, _ := strings.Cut(cmd.Use, " ")
	first, _, _ = strings.Cut(first, " ")
	from := offers()[strings.Trim(first, "[].")]
	if from == nil {
		return nil
	}
	several := strings.Contains(first, "...")
	return func(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 && !several {
			return nil, cobra.ShellCompDirectiveDefault
		}
		return s.offered(cmd, from, typed)
	}
}

// offers is the one table of what is offered for a word of a usage line.
func offers() map[string]offer {
	return map[string]offer{
		"SITE": siteNames, "POINT": ofRegister(pointOffers), "LOOP": ofRegister(loopOffers), "KIND": kindNames,
		"TYPE": ofRegister(typeOffers), "AREA": ofRegister(areaOffers),
	}
}

// offered gives what begins with what was typed. Where the book cannot be read nothing is offered: a shell has
// no place for a reason.
func (s *session) offered(cmd *cobra.Command, from offer, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	all := slices.DeleteFunc(from(cmd.Context(), s), func(c cobra.Completion) bool { return !startsWith(string(c), typed) })
	return all, cobra.ShellCompDirectiveNoFileComp
}

func startsWith(text, typed string) bool {
	return len(text) >= len(typed) && strings.EqualFold(text[:len(typed)], typed)
}

func siteNames(ctx context.Context, s *session) (names []cobra.Completion) {
	s.open(ctx, false, func(a *app.App) error { //nolint:errcheck // see offered
		sites, err := a.Sites(ctx)
		for _, site := range sites {
			names = append(names, sootline.Shown(site.Name))
		}
		return err
	})
	return names
}

// ofRegister offers something of the register of the site that the command line names.
func ofRegister(list func(*sootline.Register) []cobra.Completion) offer {
	return func(ctx context.Context, s *session) (names []cobra.Completion) {
		s.openSite(ctx, func(a *app.App, site store.SiteLine) error { //nolint:errcheck // see offered
			r, err := a.Register(ctx, site.ID, now())
			if err == nil {
				names = list(r)
			}
			return err
		})
		return names
	}
}

func pointOffers(r *sootline.Register) (all []cobra.Completion) {
	for _, p := range r.Points() {
		all = append(all, cobra.CompletionWithDesc(p.Ref().String(), sootline.Shown(where(p))))
	}
	return all
}

func loopOffers(r *sootline.Register) (all []cobra.Completion) {
	for _, loop := range r.Loops() {
		all = append(all, sootline.Shown(loop.String()))
	}
	return all
}

func typeOffers(r *sootline.Register) (all []cobra.Completion) {
	for _, sheet := range r.Sheets() {
		all = append(all, sootline.Shown(sheet.Name))
	}
	return all
}

func areaOffers(r *sootline.Register) (all []cobra.Completion) {
	for _, p := range r.Points() {
		if p.Area != "" && !slices.Contains(all, sootline.Shown(p.Area)) {
			all = append(all, sootline.Shown(p.Area))
		}
	}
	return all
}

func kindNames(context.Context, *session) (all []cobra.Completion) {
	for _, kind := range sootline.Kinds() {
		all = append(all, cobra.CompletionWithDesc(string(kind.Kind), kind.Says))
	}
	return all
}
