package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
)

// unknownCommand refuses a word that is no command where one is meant, with those near it.
func unknownCommand(cmd *cobra.Command, word string) error {
	var names []string
	for _, sub := range cmd.Commands() {
		if sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	hint := meant(cmd.CommandPath()+" ", app.Nearest(word, names)) + "`" + cmd.CommandPath() + " --help` lists the commands"
	return sootline.Errorf(sootline.Invalid, hint, "unknown command %q for %q", word, cmd.CommandPath())
}

// wrongFlag refuses a flag, with those near one that there is not.
func wrongFlag(cmd *cobra.Command, err error) error {
	near := ""
	if unknown, ok := errors.AsType[*pflag.NotExistError](err); ok && len(unknown.GetSpecifiedName()) > 1 {
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		near = meant("--", app.Nearest(unknown.GetSpecifiedName(), names))
	}
	return sootline.Errorf(sootline.Invalid, near+"`"+cmd.CommandPath()+" --help` lists the flags", "%w", err)
}

// meant asks whether one of these names was meant; empty where none is near.
func meant(before string, names []string) string {
	if len(names) == 0 {
		return ""
	}
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = "`" + before + name + "`"
	}
	return "did you mean " + strings.Join(quoted, " or ") + "; "
}

// asGroup has a command that others stand below, and that does nothing by itself, show its help, and refuse
// a word that is none of them.
func asGroup(cmd *cobra.Command) {
	cmd.Args = cobra.NoArgs
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
}

// wrongArguments makes wrong arguments wrong use. Where a command that others stand below takes no words of
// its own, a word was meant for one of them.
func wrongArguments(args cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, given []string) error {
		err := args(cmd, given)
		switch {
		case err == nil:
			return nil
		case cmd.HasAvailableSubCommands() && len(given) > 0 && args(cmd, given[:1]) != nil:
			return unknownCommand(cmd, given[0])
		}
		return sootline.Errorf(sootline.Invalid, "`"+cmd.CommandPath()+" --help` shows how it is used", "%w", err)
	}
}

// helpCommand explains another command, and refuses one that there is not.
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND]", Short: "Explain a command",
		Example: "  sootline help judge\n  sootline help site add",
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil {
				return err
			}
			if len(rest) > 0 && about.HasAvailableSubCommands() {
				return unknownCommand(about, rest[0])
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
	}
}
