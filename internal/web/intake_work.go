package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"sootline"
	"sootline/internal/app"
)

// stage is how far an intake has come.
type stage int

const (
	waiting stage = iota // its files lie there, and nobody looks at them
	looking              // it is being looked at
	ready                // it was looked at, and can be taken in
	taking
	taken
)

// intake is a set of uploaded files on their way into the book. What is about the
// files alone never changes; the rest belongs to the work under way, and to
// whoever holds the lock when there is none.
type intake struct {
	id     string
	site   sootline.ID
	by     string
	began  time.Time
	log    io.Writer // of the server
	folder string
	gaveUp string // the names of an earlier intake that was given up for this one

	mu       sync.Mutex
	at       stage
	names    []string
	progress app.Progress
	stop     context.CancelFunc
	done     chan struct{} // closed when the work under way is over
	opened   *app.Intake   // nil: not looked at
	asIs     bool
	allow    []app.Effect     // what of the known may be undone
	aliases  []sootline.Alias // what spellings mean, as answered so far
	preview  *preview
	outcome  *app.Outcome // once taken
	trouble  error        // of the last work, or nil
	typed    string       // an answer that could not be used
}

func (in *intake) stage() stage {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.at
}

// address is where the intake is looked at.
func (in *intake) address() string { return "/site/" + in.site.String() + "/intake/" + in.id }

// work does something long in the background, where the intake is at a stage from
// which that can begin: whoever asks twice has it done once. It outlives the
// request that began it.
func (in *intake) work(a *app.App, from []stage, at stage, do func(context.Context, *app.App) (stage, error)) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if !slices.Contains(from, in.at) {
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	in.at, in.stop, in.done, in.progress, in.trouble, in.typed = at, stop, done, app.Progress{}, nil, ""
	working := *a
	working.Working = func(p app.Progress) {
		in.mu.Lock()
		defer in.mu.Unlock()
		in.progress = p
	}
	go func() {
		defer close(done)
		defer stop()
		at, err := in.caught(func() (stage, error) { return do(ctx, &working) })
		if ctx.Err() != nil && at != taken {
			err = sootline.Errorf(sootline.Conflict, "everything is still here", "stopped; nothing was taken in")
		}
		in.mu.Lock()
		defer in.mu.Unlock()
		in.at, in.trouble = at, err
	}()
}

// caught does the work of an intake. Where it panics, the log has the stack, whoever
// waits gets a sentence, and the files lie there as if nobody had looked at them.
func (in *intake) caught(do func() (stage, error)) (at stage, err error) {
	fell := true
	defer func() {
		if fell {
			at = waiting
			fmt.Fprintf(in.log, "intake %s: %v\n", in.id, errors.Join(err, in.closeFiles())) //nolint:errcheck // as every line of the log
		}
	}()
	defer sootline.Caught(&err)
	at, err = do()
	fell = false
	return at, err
}

// wait gives short work the time to finish, so that nobody sees a page that only
// says so.
func (in *intake) wait(most time.Duration) {
	in.mu.Lock()
	done := in.done
	in.mu.Unlock()
	if done == nil {
		return
	}
	select {
	case <-done:
	case <-time.After(most):
	}
}

// halt stops what is being done.
func (in *intake) halt() {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.stop != nil {
		in.stop()
	}
}

// look looks at the files, with a change of what is understood of them, and at
// what every row would become. A change that is refused leaves all as it was; the
// answer that was typed comes back with it.
func (in *intake) look(a *app.App, typed string, change func(*app.Intake) error) {
	in.work(a, []stage{waiting, ready}, looking, func(ctx context.Context, a *app.App) (stage, error) {
		if in.opened != nil && change != nil {
			over := in.opened.During(ctx)
			err := change(in.opened)
			if over(); err != nil {
				in.mu.Lock()
				defer in.mu.Unlock()
				in.typed = typed
				return ready, err
			}
		}
		return in.lookAgain(ctx, a)
	})
}

func (in *intake) lookAgain(ctx context.Context, a *app.App) (stage, error) {
	if in.opened == nil {
		opened, err := a.Look(ctx, in.site, in.paths(), nil)
		if err != nil {
			return waiting, err
		}
		if err := a.Recall(ctx, in.site, opened); err != nil {
			return waiting, errors.Join(err, opened.Close())
		}
		in.opened = opened
	}
	shown, err := in.makePreview(ctx, a)
	if err != nil {
		return waiting, err
	}
	if in.preview != nil {
		err = in.preview.close()
	}
	in.preview = shown
	return ready, err
}

func (in *intake) paths() []string {
	paths := make([]string, len(in.names))
	for i, name := range in.names {
		paths[i] = filepath.Join(in.folder, name)
	}
	return paths
}

// take takes the intake in. When it is in, only the rows that cannot be used are kept.
func (in *intake) take(a *app.App) {
	in.work(a, []stage{ready}, taking, func(ctx context.Context, a *app.App) (stage, error) {
		outcome, err := a.Take(ctx, in.site, in.opened, in.options(nil))
		if err != nil {
			return ready, err
		}
		in.outcome = outcome
		err = in.closeFiles()
		for _, path := range in.paths() {
			err = errors.Join(err, os.Remove(path))
		}
		return taken, err
	})
}

// options are the choices of the people at the page.
func (in *intake) options(row func(app.RowOutcome) error) app.TakeOptions {
	return app.TakeOptions{AsIs: in.asIs, Allow: in.allow, Aliases: in.aliases, Row: row}
}

// leaveOut gives up one of several files, and looks at the others.
func (in *intake) leaveOut(a *app.App, name string) {
	in.work(a, []stage{waiting, ready}, looking, func(ctx context.Context, a *app.App) (stage, error) {
		i := slices.Index(in.names, name)
		if i < 0 || len(in.names) == 1 {
			return waiting, sootline.Errorf(sootline.NotFound, "", "there is no such file among them")
		}
		if err := errors.Join(in.closeFiles(), os.Remove(filepath.Join(in.folder, name))); err != nil {
			return waiting, err
		}
		in.mu.Lock()
		in.names = slices.Delete(slices.Clone(in.names), i, i+1)
		in.mu.Unlock()
		return in.lookAgain(ctx, a)
	})
}

// close ends what is being done, and closes the files.
func (in *intake) close() error {
	in.halt()
	in.mu.Lock()
	done := in.done
	in.mu.Unlock()
	if done != nil {
		<-done
	}
	return in.closeFiles()
}

func (in *intake) closeFiles() error {
	var errs []error
	if in.opened != nil {
		errs = append(errs, in.opened.Close())
	}
	if in.preview != nil {
		errs = append(errs, in.preview.close())
	}
	in.opened, in.preview = nil, nil
	return errors.Join(errs...)
}

// plain takes our folder out of a sentence: people know their files by name.
func (in *intake) plain(text string) string {
	return strings.ReplaceAll(text, in.folder+string(filepath.Separator), "")
}

// tableName is the file's name, the sheet's in a workbook, and which of its tables it is.
func tableName(t *app.IntakeTable) string {
	name := filepath.Base(t.Path)
	if t.Table.Name != "" {
		name += ", sheet " + t.Table.Name
	}
	if part := t.Where(); part != "" {
		name += ", " + part
	}
	return name
}

// preview is what taking an intake in would do.
type preview struct {
	outcome  *app.Outcome
	all      map[*app.IntakeTable]*keptRows
	troubles map[*app.IntakeTable]*keptRows // those that cannot be used
}

func (in *intake) makePreview(ctx context.Context, a *app.App) (*preview, error) {
	p := &preview{all: map[*app.IntakeTable]*keptRows{}, troubles: map[*app.IntakeTable]*keptRows{}}
	keep := func(rows map[*app.IntakeTable]*keptRows, row *app.RowOutcome) error {
		kept := rows[row.Table]
		if kept == nil {
			var err error
			if kept, err = newKeptRows(in.folder); err != nil {
				return err // the folder goes when the server stops
			}
			rows[row.Table] = kept
		}
		return kept.add(row)
	}
	each := func(row app.RowOutcome) error {
		if row.Becomes == app.RowLeft {
			if err := keep(p.troubles, &row); err != nil {
				return err
			}
		}
		return keep(p.all, &row)
	}
	var err error
	if p.outcome, err = a.Preview(ctx, in.site, in.opened, in.options(each)); err == nil {
		err = p.each((*keptRows).flush)
	}
	if err != nil {
		return nil, errors.Join(err, p.close())
	}
	return p, nil
}

func (p *preview) each(do func(*keptRows) error) error {
	var errs []error
	for _, rows := range []map[*app.IntakeTable]*keptRows{p.all, p.troubles} {
		for _, kept := range rows {
			errs = append(errs, do(kept))
		}
	}
	return errors.Join(errs...)
}

func (p *preview) close() error { return p.each((*keptRows).close) }
