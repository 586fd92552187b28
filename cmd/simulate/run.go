package main

import (
	"errors"
	"math/rand/v2"
	"strconv"
	"sync"

	"sootline/internal/judge"
	"sootline/internal/robust"
)

// row is one scenario at one number of visits.
type row struct {
	scenario scenario
	visits   int
	own      score // each line from its own visits alone: method K of docs/methods/robust.md
	ours     score
	// Those that borrow, by both methods.
	ownWhere, borrowed score
}

// run tries all scenarios, each row with its own stream of random numbers.
func run(seed uint64, sites int) ([]row, error) {
	var rows []row
	for _, s := range scenarios() {
		for _, n := range visitCounts() {
			rows = append(rows, row{scenario: s, visits: n})
		}
	}
	errs := make([]error, len(rows))
	var all sync.WaitGroup
	slots := make(chan struct{}, 2)
	for i := range rows {
		slots <- struct{}{}
		all.Go(func() {
			defer func() { <-slots }()
			errs[i] = rows[i].fill(rand.New(rand.NewPCG(seed, uint64(i))), sites)
		})
	}
	all.Wait()
	return rows, errors.Join(errs...)
}

func (r *row) fill(rng *rand.Rand, sites int) error {
	for range sites {
		detectors := r.scenario.site(r.visits, rng)
		var experience judge.Experience
		for i := range detectors {
			d := &detectors[i]
			least := rounding
			if r.scenario.exact {
				least = 0
			}
			experience.Add(judge.Past{
				Run: d.run, Earlier: d.earlier, Type: "Alpha", Area: strconv.Itoa(d.area), Usual: pooledSD, Least: least,
			})
		}
		for i := range detectors {
			if !detectors[i].target {
				continue
			}
			if err := r.judge(&experience, i, &detectors[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// judge asks both methods when a target meets its limit.
func (r *row) judge(e *judge.Experience, i int, d *detector) error {
	own, err := robust.Crossing(d.run.T, d.run.Y, robust.Query{
		Limit: d.limit(), Side: robust.High, Conf: nominal, Noise: robust.Noise{SD: pooledSD, DF: robust.PriorDF},
	})
	if err != nil {
		return err
	}
	var ours robust.Departure
	outlook, drawn := e.Outlook(i)
	if drawn {
		if ours, err = e.Leaves(&outlook, d.limit(), robust.High, nominal); err != nil {
			return err
		}
	}
	r.own.add(own, d.crossing(), d.last())
	r.ours.add(ours, d.crossing(), d.last())
	if outlook.Borrowed > 0 {
		r.ownWhere.add(own, d.crossing(), d.last())
		r.borrowed.add(ours, d.crossing(), d.last())
	}
	return nil
}
