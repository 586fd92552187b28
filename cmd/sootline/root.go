package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

const exitHelp = "Exit codes: 0 done; 1 with --strict, something needs somebody; 2 wrong use; 3 could not."

const welcome = `sootline looks after fire-detection loops: it takes in the listings you have,
says what is wrong on the register, judges every resting value, and says what
to do at the next visit.

Begin with a look at an invented site:

  sootline demo

or with your own listings, whatever their shape:

  sootline site add "Works" --loop 1 --loop 2
  sootline take types.csv schedule.csv readings.xlsx --site Works
  sootline check --site Works
  sootline judge --site Works
  sootline visit plan --minutes 240 --site Works

or look at it in a browser:

  sootline serve

Every command explains itself with --help. Sootline never writes to a panel.
`

// rootCommand is the whole command line, put together anew for each run.
func rootCommand(s *session) *cobra.Command {
	root := &cobra.Command{
		Use:   "sootline",
		Short: "Look after fire-detection loops",
		Long:  welcome,
		Example: "  sootline demo\n" +
			"  sootline judge --site Works --on 2026-01-15",
		Args:          cobra.NoArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := fmt.Fprint(s.out, welcome)
			return err
		},
	}
	flags := root.PersistentFlags()
	flags.StringVar(&s.bookPath, "book", "", "the book's file, or postgres://USER@HOST/DATABASE (else $SOOTLINE_BOOK, else a file in your data folder)")
	flags.StringVar(&s.siteName, "site", "", "the site, by name; not needed where the book has one")
	flags.StringVar(&s.by, "by", "", "who is at work (else $SOOTLINE_BY, else your login name)")
	flags.BoolVar(&s.noPager, "no-pager", false, "do not show long output page by page (else by $PAGER, or less)")
	root.SetFlagErrorFunc(wrongFlag)
	root.Version = thisBuild().String()
	root.SetVersionTemplate("{{.Version}}\n")
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(helpCommand())
	root.AddCommand(
		demoCommand(s), siteCommand(s), takeCommand(s), checkCommand(s), judgeCommand(s), askCommand(s), addressCommand(s), benchCommand(s),
		loopCommand(s), standbyCommand(s), visitCommand(s), alarmsCommand(s), paperCommand(s), photoCommand(s), pointCommand(s), defectCommand(s), listenCommand(s), logCommand(s), bookCommand(s), serveCommand(s),
		completionCommand(s), manCommand(), versionCommand(s),
	)
	dress(s, root)
	completing(s, root)
	return root
}

// dress makes wrong arguments wrong use, lets long output of commands that show something be read page by
// page, and puts the exit codes under the help of every command.
func dress(s *session, cmd *cobra.Command) {
	if !cmd.Runnable() {
		asGroup(cmd)
	}
	if cmd.Args != nil {
		cmd.Args = wrongArguments(cmd.Args)
	}
	if cmd.Flags().Lookup("json") != nil {
		cmd.RunE = s.paged(cmd.RunE)
	}
	if cmd.Long == "" {
		cmd.Long = cmd.Short + "."
	}
	cmd.Long += "\n\n" + exitHelp
	onceEach(cmd.Flags())
	onceEach(cmd.PersistentFlags())
	for _, sub := range cmd.Commands() {
		dress(s, sub)
	}
}
