package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
)

// manCommand writes the manual pages, one for each command, from what the commands say of themselves.
func manCommand() *cobra.Command {
	var day string
	cmd := &cobra.Command{
		Use: "man FOLDER", Short: "Write the manual pages into a folder",
		Long:    "Write the manual pages into a folder, one for each command, from what the commands say of themselves.\nIt is for whoever makes packages (`make man`).",
		Example: "  sootline man build/man --day 2026-01-15",
		Args:    cobra.ExactArgs(1),
		Hidden:  true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if _, _, _, err := sootline.ParseDate(day); err != nil {
				return err
			}
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return sootline.Errorf(sootline.Unavailable, "name another folder", "make the folder: %w", err)
			}
			return writeManuals(cmd.Root(), args[0], day)
		},
	}
	cmd.Flags().StringVar(&day, "day", "", "the day of the source, which stands at the foot (needed)")
	cmd.MarkFlagRequired("day") //nolint:errcheck // the flag is there
	return cmd
}

// writeManuals writes the page of a command and of all below it that people see.
func writeManuals(cmd *cobra.Command, folder, day string) error {
	path := filepath.Join(folder, manName(cmd)+".1")
	if err := os.WriteFile(path, []byte(manual(cmd, day)), 0o644); err != nil {
		return sootline.Errorf(sootline.Unavailable, "name another folder", "write a manual page: %w", err)
	}
	for _, sub := range cmd.Commands() {
		if sub.Hidden {
			continue
		}
		if err := writeManuals(sub, folder, day); err != nil {
			return err
		}
	}
	return nil
}

// manName is the name of a command's page: sootline-log-add.
func manName(cmd *cobra.Command) string { return strings.ReplaceAll(cmd.CommandPath(), " ", "-") }

// manual is the page of a command, in the man macros (man(7)).
func manual(cmd *cobra.Command, day string) string {
	var p roff
	fmt.Fprintf(&p, ".TH %s 1 %s Sootline \"Sootline\"\n", strings.ToUpper(dashes(manName(cmd))), day)
	p.head("NAME")
	p.line(dashes(manName(cmd)) + " \\- " + plainRoff(cmd.Short))
	p.head("SYNOPSIS")
	p.line("\\fB" + dashes(cmd.CommandPath()) + "\\fR" + synopsis(cmd))
	p.head("DESCRIPTION")
	p.paragraphs(strings.TrimSpace(strings.TrimSuffix(cmd.Long, exitHelp)))
	p.flags("OPTIONS", cmd.NonInheritedFlags())
	p.flags("OPTIONS OF EVERY COMMAND", cmd.InheritedFlags())
	if cmd.Example != "" {
		p.head("EXAMPLES")
		p.asItStands(cmd.Example)
	}
	p.head("EXIT STATUS")
	p.paragraphs(strings.TrimPrefix(exitHelp, "Exit codes: "))
	if !cmd.HasParent() {
		p.ofProgram()
	}
	p.seeAlso(cmd)
	return p.String()
}

// synopsis is what stands behind a command's words.
func synopsis(cmd *cobra.Command) string {
	_, args, _ := strings.Cut(cmd.Use, " ")
	switch {
	case cmd.HasAvailableSubCommands() && args == "":
		args = "[COMMAND]"
	case args != "":
		args = dashes(args)
	}
	return strings.TrimRight(" "+args, " ") + " [\\fIOPTIONS\\fR]"
}

// ofProgram says what holds for all commands.
func (p *roff) ofProgram() {
	p.head("ENVIRONMENT")
	for _, v := range [][2]string{
		{"SOOTLINE_BOOK", "the book's file, where --book does not name one"},
		{"SOOTLINE_BY", "who is at work, where --by does not say"},
		{"XDG_DATA_HOME", "where the book lies if nothing names one: $XDG_DATA_HOME/sootline/book.db, else ~/.local/share/sootline/book.db"},
		{"COLUMNS", "how wide output is made; else as wide as the terminal, and 100 at most"},
		{"PAGER", "what shows long output at a terminal; empty or cat: nothing does"},
		{"NO_COLOR", "not empty: nothing but text goes to the terminal"},
		{"TMPDIR", "where listings are put aside that are handed in to sootline serve"},
	} {
		p.item("\\fB"+dashes(v[0])+"\\fR", v[1])
	}
}

// seeAlso names the pages above and below.
func (p *roff) seeAlso(cmd *cobra.Command) {
	var pages []string
	if cmd.HasParent() {
		pages = append(pages, manName(cmd.Parent()))
	}
	for _, sub := range cmd.Commands() {
		if !sub.Hidden {
			pages = append(pages, manName(sub))
		}
	}
	p.head("SEE ALSO")
	for i, page := range pages {
		end := ","
		if i == len(pages)-1 {
			end = ""
		}
		fmt.Fprintf(p, ".BR %s (1)%s\n", dashes(page), end)
	}
}

// flags lists flags under a heading.
func (p *roff) flags(heading string, flags *pflag.FlagSet) {
	if !flags.HasAvailableFlags() {
		return
	}
	p.head(heading)
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "\\fB" + dashes("--"+f.Name) + "\\fR"
		if f.Shorthand != "" {
			name = "\\fB" + dashes("-"+f.Shorthand) + "\\fR, " + name
		}
		value, usage := pflag.UnquoteUsage(f)
		if value != "" {
			name += " \\fI" + dashes(value) + "\\fR"
		}
		if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "[]" && f.DefValue != "0" {
			usage += " (default " + f.DefValue + ")"
		}
		p.item(name, usage)
	})
}
