package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/keep"
)

// keepFlags say which backups the server keeps.
type keepFlags struct {
	places     []string
	storage    string
	every      time.Duration
	recipients []string
	identity   string
}

func (f *keepFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringArrayVar(&f.places, "backup", nil, "keep backups in this place: a folder, or s3://BUCKET/PREFIX; may be given again")
	cmd.Flags().StringVar(&f.storage, "backup-s3", "", "address of the object storage, with keys in AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY")
	cmd.Flags().DurationVar(&f.every, "backup-every", time.Hour, "how often, where something was written since")
	cmd.Flags().StringArrayVar(&f.recipients, "backup-recipient", nil, "encrypt them to this public half of a key (age1...); may be given again")
	cmd.Flags().StringVar(&f.identity, "backup-identity", "", "file with the secret half, for the server itself to try whether they can be put back")
}

// keeping makes the schedule that the flags ask for; nil where they ask for none.
func (s *session) keeping(a *app.App, f *keepFlags) (*app.Keeping, error) {
	if len(f.places) == 0 {
		if len(f.recipients) > 0 || f.identity != "" || f.storage != "" {
			return nil, sootline.Errorf(sootline.Invalid, "name it with --backup PLACE", "no place for backups is named")
		}
		return nil, nil
	}
	if err := a.Book.MayCopy(); err != nil {
		return nil, err
	}
	if f.every < time.Minute {
		return nil, sootline.Errorf(sootline.Invalid, "for example --backup-every 1h", "a backup every %s is more than the book can bear; the least is 1m", f.every)
	}
	keys, err := keep.ReadKeys(f.recipients, f.identity)
	if err != nil {
		return nil, err
	}
	var places []keep.Place
	for _, text := range f.places {
		place, err := keep.Open(text, keep.StorageOf(f.storage))
		if err != nil {
			return nil, err
		}
		places = append(places, place)
	}
	tell := func(line string) { fmt.Fprintln(s.err, now().UTC().Format(time.RFC3339), line) }
	own := *a // its own copy: what requests change of theirs does not concern it
	k := app.NewKeeping(&own, places, keys, f.every, tell)
	a.Closed = k.Soon
	return k, nil
}

// keepMeanwhile keeps backups until the function returns; one that is under way is
// broken off then, and leaves nothing.
func keepMeanwhile(ctx context.Context, k *app.Keeping, do func() error) error {
	if k == nil {
		return do()
	}
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan struct{})
	var broken error
	go func() {
		defer close(ended)
		defer sootline.Caught(&broken)
		k.Run(ctx)
	}()
	err := do()
	stop()
	<-ended
	return errors.Join(err, broken)
}
