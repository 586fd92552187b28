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
	if !flags.sources {
		return do(ctx)
	}
	hearing, stop := context.WithCancel(context.WithoutCancel(ctx))
	ended := make(chan error, 1)
	go func() {
		var err error
		defer func() { ended <- err }()
		defer sootline.Caught(&err)
		all := &app.SourcesHeard{App: a, MayOpen: flags.mayOpen, Days: flags.heardDays, Say: func(text string) { fmt.Fprintln(s.err, text) }}
		if err = all.Run(hearing); err != nil {
			all.Say("sources are listened to no more: " + err.Error())
		}
	}()
	err := do(ctx)
	stop()
	return errors.Join(err, <-ended)
}
