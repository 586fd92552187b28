package main

import (
	"context"
	"errors"
	"fmt"

	"sootline"
	"sootline/internal/app"
)

// hearMeanwhile listens to the sources that are kept with the sites, while something else is done; they end together.
func (s *session) hearMeanwhile(ctx context.Context, a *app.App, flags serveFlags, do func(context.Context) error) error {
	say := func(text string) { fmt.Fprintln(s.err, text) }
	notices, err := flags.notices.notices(say)
	if err != nil {
		return err
	}
	if !flags.sources {
		if notices != nil {
			return usageError{errors.New("notices tell of what is heard: add --sources")}
		}
		return do(ctx)
	}
	hearing, stop := context.WithCancel(context.WithoutCancel(ctx))
	ended := make(chan error, 1)
	go func() {
		var err error
		defer func() { ended <- err }()
		defer sootline.Caught(&err)
		all := &app.SourcesHeard{App: a, MayOpen: flags.mayOpen, Days: flags.heardDays, Say: say, Notices: notices}
		if err = all.Run(hearing); err != nil {
			all.Say("sources are listened to no more: " + err.Error())
		}
	}()
	if notices != nil {
		go func() {
			var err error
			defer func() {
				if err != nil {
					say("no notices are sent any more: " + err.Error())
				}
			}()
			defer sootline.Caught(&err)
			notices.Run(hearing)
		}()
	}
	err = do(ctx)
	stop()
	return errors.Join(err, <-ended)
}
