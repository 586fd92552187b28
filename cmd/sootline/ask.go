package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func askCommand(s *session) *cobra.Command {
	var yes, no string
	var reply app.Reply
	var at string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "ask",
		Short: "Ask about what seems to have happened and nobody wrote down",
		Long: "Ask about what seems to have happened and nobody wrote down: a cleaning, another device, two\n" +
			"devices that changed places, a value that never moves, a reading typed wrongly. Each question\n" +
			"shows its evidence; nothing is changed unless somebody who knows says yes. A no is noted, and\n" +
			"the question is not asked again.",
		Example: "  sootline ask\n  sootline ask --yes k7q2mw\n  sootline ask --no k7q2mw --why \"window left open that day\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if yes != "" || no != "" {
					zone, err := s.siteZone(cmd, a, site)
					if err != nil {
						return err
					}
					reply.Yes = yes != ""
					when, err := (&sayFlags{at: at}).when(zone)
					if err != nil {
						return err
					}
					reply.At, reply.Day = when.At, when.Day
					return s.answer(cmd, a, site, yes+no, reply)
				}
				survey, err := a.Survey(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				if err := survey.Judge(cmd.Context()); err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfQuestions(survey.Register, survey.Asked()))
				}
				return s.printQuestions(survey.Register, survey.Asked(), survey.Judged().HeldBack)
			})
		},
	}
	cmd.Flags().StringVar(&yes, "yes", "", "the key of a question: it was so, write it down")
	cmd.Flags().StringVar(&no, "no", "", "the key of a question: it was not so, do not ask again")
	cmd.Flags().StringVar(&at, "at", "", "with --yes: when it was, if somebody knows, as 2026-01-15")
	cmd.Flags().StringVar(&reply.Why, "why", "", "with --no: what was the matter, in words")
	addJSON(cmd, &asJSON)
	cmd.MarkFlagsMutuallyExclusive("yes", "no", "json")
	return cmd
}

func (s *session) answer(cmd *cobra.Command, a *app.App, site store.SiteLine, key string, reply app.Reply) error {
	entries, err := a.Answer(cmd.Context(), site.ID, key, reply)
	if err != nil {
		return err
	}
	for _, e := range entries {
		fmt.Fprintf(s.out, "Added: %s on %s, as entry %s.\n", e.Body.Kind(), e.At.Format(time.DateOnly), e.ID)
	}
	return nil
}

func (s *session) printQuestions(r *sootline.Register, asked []app.Asked, held int) error {
	if len(asked) == 0 {
		_, err := fmt.Fprintf(s.out, "Site %s: nothing to ask. What is open was answered, or is too uncertain to ask about.\n", r.Site.Name)
		return err
	}
	fmt.Fprintf(s.out, "Site %s: %s about what nobody wrote down.\n", r.Site.Name, count(len(asked), "question", "questions"))
	for _, q := range asked {
		s.heading(fmt.Sprintf("%s  %s: %s", q.Key, q.Kind, fewRefs(q.Points)))
		for _, sentence := range q.Evidence {
			fmt.Fprintf(s.out, "  %s\n", s.wrap(sentence, 2))
		}
		if len(q.Say) > 0 {
			fmt.Fprintf(s.out, "  -> sootline ask --yes %[1]s, or sootline ask --no %[1]s\n", q.Key)
		} else {
			fmt.Fprintf(s.out, "  -> sootline ask --no %s, once somebody has looked\n", q.Key)
		}
	}
	if held > 0 {
		fmt.Fprintf(s.out, "\nHeld back until some of these are answered: %s.\n", count(held, "question", "questions"))
	}
	return nil
}

// fewRefs names a few points, and how many others there are.
func fewRefs(points []*sootline.Point) string {
	const few = 6
	refs := shape.Refs(points)
	if len(refs) <= few {
		return joined(refs)
	}
	return fmt.Sprintf("%s and %d more", joined(refs[:few-1]), len(refs)-few+1)
}
