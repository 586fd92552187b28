package jobs

import (
	"fmt"
	"slices"
	"strings"
)

// Stage is a part of a job that somebody would call done or not done.
type Stage struct {
	Name  string
	Needs string // the stage before, without which this one is not played: "" where it stands alone
	Play  func(*Person)

	Script bool             // it cannot be done without a script, and is left out where none runs
	Round  func(Book) error // brings the book to where the stage would have, by another face
}

// Book is what brings the book of a person to where a stage would have, so that the next stages can be played.
type Book interface {
	AddSite() error // without a loop
	ChooseRules() error
	TakeIn(files []string) error
	OpenVisit() error
}

// Job is a whole piece of work.
type Job struct {
	Name   string
	Limit  float64 // seconds of a practised person, 0 for none
	Shell  bool    // no word of a shell may be read
	Stages []Stage
}

// Played is what came of a job in one way.
type Played struct {
	Job, Way             string
	Done                 []string
	Stumbles             []Stumble
	Presses, Keys, Pages int
	Seconds              float64
}

// Play plays a job. An error is one of the harness; what the pages lack is a stumble.
func Play(p *Person, job Job) (Played, error) {
	p.job = job.Name
	played := Played{Job: job.Name, Way: p.Way.Name}
	p.Notice()
	for _, stage := range job.Stages {
		p.stage = stage.Name
		if stage.Script && p.Way.NoScript {
			continue
		}
		if stage.Needs != "" && !slices.Contains(played.Done, stage.Needs) {
			played.Stumbles = append(played.Stumbles, Stumble{Job: job.Name, Way: p.Way.Name, Stage: stage.Name, Step: "not played without " + stage.Needs})
			continue
		}
		stage.Play(p)
		fell := p.Rise()
		if fell == nil {
			played.Done = append(played.Done, stage.Name)
			continue
		}
		played.Stumbles = append(played.Stumbles, *fell)
		if stage.Round != nil {
			if err := stage.Round(p.Book); err != nil {
				return played, fmt.Errorf("the way round %s: %w", stage.Name, err)
			}
		}
	}
	played.Presses, played.Keys, played.Pages, played.Seconds = p.Presses, p.Keys, p.Pages, p.Seconds()
	played.Stumbles = append(played.Stumbles, p.overall(job)...)
	return played, nil
}

// overall are the stumbles of the whole way: shell words, time, width, and the network log.
func (p *Person) overall(job Job) []Stumble {
	var all []Stumble
	add := func(step, instead string) {
		all = append(all, Stumble{Job: job.Name, Way: p.Way.Name, Stage: "all along", Step: step, Instead: instead})
	}
	if job.Shell && len(p.Shell) > 0 {
		add("words of a shell", strings.Join(p.Shell, "; "))
	}
	if job.Limit > 0 && p.Seconds() > job.Limit {
		add(fmt.Sprintf("longer than %.0f s", job.Limit), fmt.Sprintf("%.0f s: %d presses, %d keys, %d pages", p.Seconds(), p.Presses, p.Keys, p.Pages))
	}
	if len(p.Wide) > 0 {
		add("past the side of the screen", strings.Join(p.Wide, ", "))
	}
	outside, wrong := p.Tab.Network()
	for _, at := range outside {
		add(LeftServer, at)
	}
	if len(wrong) > 0 {
		add("an error answered", strings.Join(wrong, "; "))
	}
	return all
}

// LeftServer is the step of a stumble that no list of known ones may hold.
const LeftServer = "a request left the server"

// Report tells what came of the jobs, for whoever mends the pages.
func Report(all []Played) string {
	var b strings.Builder
	for _, played := range all {
		fmt.Fprintf(&b, "%s, %s: %d presses, %d keys, %d pages, about %.0f s; done: %s\n", played.Job, played.Way, played.Presses, played.Keys, played.Pages, played.Seconds, strings.Join(played.Done, ", "))
		for _, s := range played.Stumbles {
			fmt.Fprintf(&b, "    %s: %s\n        %s\n", s.Stage, s.Step, s.Instead)
		}
	}
	return b.String()
}
