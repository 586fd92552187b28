package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/check"
	"sootline/internal/visit"
)

// DefectFilter says which defects to list; the zero filter lists all that are not
// closed.
type DefectFilter struct {
	All   bool   // closed ones too
	Point string // only those at the point of this reference
}

// Defects lists the defects of a register: the open ones first and the gravest of
// them first, then those that wait for their retest, then the closed ones, the
// last to be closed first.
func Defects(r *sootline.Register, filter DefectFilter) ([]*sootline.DefectFacts, error) {
	all := r.Defects()
	if filter.Point != "" {
		p, err := PointNamed(r, filter.Point)
		if err != nil {
			return nil, err
		}
		all = p.Defects
	}
	list := slices.DeleteFunc(slices.Clone(all), func(d *sootline.DefectFacts) bool { return !filter.All && !d.Waits() })
	slices.SortStableFunc(list, func(a, b *sootline.DefectFacts) int {
		states := []sootline.DefectState{sootline.DefectOpen, sootline.DefectMended, sootline.DefectClosed}
		if c := cmp.Compare(slices.Index(states, a.State), slices.Index(states, b.State)); c != 0 {
			return c
		}
		if a.State == sootline.DefectClosed {
			return b.ClosedBy.At.Compare(a.ClosedBy.At)
		}
		return cmp.Compare(b.Grade.Rank(), a.Grade.Rank())
	})
	return list, nil
}

// Defects lists defects of the site; see [Defects].
func (s *Survey) Defects(filter DefectFilter) ([]*sootline.DefectFacts, error) {
	return Defects(s.Register, filter)
}

// DefectSpan is what a report, a certificate or a handover tells of defects.
type DefectSpan struct {
	Open   []*sootline.DefectFacts // at the end of the span, the gravest first
	Mended []*sootline.DefectFacts // that wait for their retest then
	Closed []*sootline.DefectFacts // within the span, and not open again at its end, by when they were closed
}

// DefectsIn gives what a paper about a span tells of defects, from its first
// instant to its last. The register must have been folded as of its end.
func DefectsIn(r *sootline.Register, from, to time.Time) DefectSpan {
	var span DefectSpan
	for _, d := range r.OpenDefects() {
		switch d.State {
		case sootline.DefectOpen:
			span.Open = append(span.Open, d)
		case sootline.DefectMended:
			span.Mended = append(span.Mended, d)
		}
	}
	for _, d := range r.Defects() {
		if d.ClosedBy != nil && !d.ClosedBy.At.Before(from) && !d.ClosedBy.At.After(to) {
			span.Closed = append(span.Closed, d)
		}
	}
	slices.SortStableFunc(span.Closed, func(a, b *sootline.DefectFacts) int { return sootline.Compare(a.ClosedBy, b.ClosedBy) })
	return span
}

// DefectNamed finds a defect by its id or an unambiguous beginning of it, by an
// entry that tells of it, or by its point, where that has one that is not closed.
func DefectNamed(r *sootline.Register, name string) (*sootline.DefectFacts, error) {
	d, notCalled := r.DefectCalled(name)
	if notCalled == nil {
		return d, nil
	}
	p, err := PointNamed(r, name)
	if err != nil {
		return nil, notCalled
	}
	waiting, err := Defects(r, DefectFilter{Point: p.ID.String()})
	if err != nil {
		return nil, err
	}
	switch len(waiting) {
	case 1:
		return waiting[0], nil
	case 0:
		return nil, sootline.Errorf(sootline.NotFound, "see the closed ones", "no defect at %s is open or waits for its retest", p.Ref()).Do(sootline.ListDefects, p.Ref().String())
	}
	var names []string
	for _, d := range waiting {
		names = append(names, d.Name+" ("+d.What()+")")
	}
	return nil, sootline.Errorf(sootline.Conflict, "name one of them by its id", "there are %d at %s: %s", len(waiting), p.Ref(), strings.Join(names, ", "))
}

// DefectRule is what defects ask for, as a rule of service among the others.
func DefectRule() sootline.ServiceRule { return visit.DefectRule() }

// TellsDefect reports whether a finding tells of a defect, which has lists and
// pages of its own.
func TellsDefect(f *sootline.Finding) bool {
	return f.Code == check.DefectOpen || f.Code == check.DefectMended
}

// StepDefect adds a step to the story of a defect, which is named as in [DefectNamed]. The body is one that
// names a defect; which one is filled in here, and so is the point.
func (a *App) StepDefect(ctx context.Context, site sootline.ID, name string, n Note) (sootline.Entry, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return sootline.Entry{}, err
	}
	d, err := DefectNamed(r, name)
	if err != nil {
		return sootline.Entry{}, err
	}
	if n.Body, err = stepOf(d, n.Body); err != nil {
		return sootline.Entry{}, err
	}
	if n.ID.Zero() || d.InStory(n.ID) == nil { // handed in again it is what it was
		if err := fits(d, n); err != nil {
			return sootline.Entry{}, err
		}
	}
	if d.Point != nil {
		n.Point = d.Point.ID.String()
	}
	return a.AddEntry(ctx, site, n)
}

// stepOf makes a body name the defect.
func stepOf(d *sootline.DefectFacts, body sootline.Body) (sootline.Body, error) {
	switch step := body.(type) {
	case sootline.Followed:
		step.Defect = d.ID
		return step, nil
	case sootline.Mended:
		step.Defect = d.ID
		return step, nil
	case sootline.Retested:
		step.Defect = d.ID
		return step, nil
	}
	return nil, sootline.Errorf(sootline.Invalid, "a step is one of followed, mended and retested", "an entry of kind %s is no step of a defect", body.Kind())
}

// fits refuses a step that contradicts what the log says of the defect.
func fits(d *sootline.DefectFacts, n Note) error {
	retested, _ := n.Body.(sootline.Retested)
	_, followed := n.Body.(sootline.Followed)
	_, mended := n.Body.(sootline.Mended)
	switch {
	case !n.At.IsZero() && n.At.Before(d.Since) && !d.Day:
		return sootline.Errorf(sootline.Conflict, "give a later time, or correct the entry that told of it", "defect %s was first seen after that", d.Name)
	case d.State != sootline.DefectClosed && !(mended && d.State == sootline.DefectMended), followed:
		return nil
	case mended && d.State == sootline.DefectMended:
		return sootline.Errorf(sootline.Conflict, "say more of it, or retest it", "defect %s was mended already and waits for its retest", d.Name).Do(sootline.StepDefect, d.Name)
	case retested.Failed && d.ClosedBy.Body.Kind() != sootline.RemovedKind:
		return nil
	}
	return sootline.Errorf(sootline.Conflict, "where it is there again, write a new defect or a failed test", "defect %s is closed", d.Name)
}
