package app

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"time"

	"sootline"
	"sootline/internal/demo"
)

// DemoFile is one of the demo's listings.
type DemoFile struct{ Path, Says string }

// Demo is what the demo left behind.
type Demo struct {
	Site    string
	Until   time.Time // the day on which its story ends
	Files   []DemoFile
	Outcome *Outcome
}

// MakeDemo writes the listings of an invented site to a folder and takes them
// in, as a newcomer would.
func (a *App) MakeDemo(ctx context.Context, folder string, seed uint64, until time.Time) (*Demo, error) {
	return a.makeDemo(ctx, folder, demo.Make(seed, until))
}

func (a *App) makeDemo(ctx context.Context, folder string, scenario demo.Scenario) (_ *Demo, err error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return nil, err
	}
	d := &Demo{Site: scenario.Site.Name, Until: scenario.Until}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "name another folder", "make the demo's folder: %w", err).Do(sootline.Give, "folder")
	}
	var paths []string
	for _, f := range scenario.Files {
		path := filepath.Join(folder, f.Name)
		if err := os.WriteFile(path, f.Content, 0o600); err != nil {
			return nil, sootline.Errorf(sootline.Unavailable, "name another folder", "write the demo's listings: %w", err).Do(sootline.Give, "folder")
		}
		d.Files = append(d.Files, DemoFile{path, f.Says})
		paths = append(paths, path)
	}
	site := NewSite{Name: scenario.Site.Name, Zone: scenario.Site.Zone}
	for _, loop := range scenario.Site.Loops {
		site.Loops = append(site.Loops, sootline.LoopFacts{Panel: loop.Panel, Loop: loop.Name, First: loop.First, Last: loop.Last, Unset: loop.Unset})
	}
	id, err := a.AddSite(ctx, site)
	if err != nil {
		return nil, err
	}
	in, err := a.Look(ctx, id, paths, nil)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	d.Outcome, err = a.Take(ctx, id, in, TakeOptions{})
	return d, err
}
