package app

import (
	"context"
	"io"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// VisitWish is what a visit is planned from.
type VisitWish struct {
	On      time.Time
	Minutes int
	Next    visit.Day // of the visit after it; 0: as the rules say
	Order   []string  // the technician's own walking order: areas or points
}

// VisitPlan is a round, and what it was planned from.
type VisitPlan struct {
	DueList
	visit.Plan
}

// PlanVisit plans a visit of so many minutes.
func (a *App) PlanVisit(ctx context.Context, site store.SiteLine, wish VisitWish) (VisitPlan, error) {
	due, err := a.due(ctx, site, wish.On, wish.Next)
	if err != nil {
		return VisitPlan{}, err
	}
	if wish.Minutes < 1 || wish.Minutes > 7*24*60 {
		return VisitPlan{}, sootline.Errorf(sootline.Invalid, "give the minutes that there are, for example four hours", "a visit of %d minutes cannot be planned", wish.Minutes).Do(sootline.Give, "minutes", "240")
	}
	if wish.Next.Known() && wish.Next <= due.On {
		return VisitPlan{}, sootline.Errorf(sootline.Invalid, "give a later day", "the visit after the one of %s cannot be on %s", due.On, wish.Next).Do(sootline.Give, "next")
	}
	return planOf(ctx, due, wish)
}

func planOf(ctx context.Context, due DueList, wish VisitWish) (VisitPlan, error) {
	assessment, err := judge.AssessUntil(ctx, due.Register, wish.On, time.Time{})
	if err != nil {
		return VisitPlan{}, err
	}
	return VisitPlan{due, visit.Make(due.Register, visit.Wish{
		Minutes: wish.Minutes, Obligations: due.Obligations, Findings: append(visitFindings(assessment.Judgements), visit.DefectFindings(due.Register)...), Order: wish.Order,
	})}, nil
}

// unknownRisk is the chance given to what the readings leave open: one half,
// for nobody knows.
const unknownRisk = 0.5

// leastRisk is the chance below which looking at a point that can be left alone
// is not worth a line in a plan.
const leastRisk = 0.01

// visitFindings gives what the judgements make worth doing, and by how much the risk
// falls when it is done. The risk of a point is the chance that it is outside its
// band by the next visit; it is taken to fall to nothing when the work is done.
func visitFindings(judgements []judge.Judgement) []visit.Finding {
	var all []visit.Finding
	for i := range judgements {
		j := &judgements[i]
		f := visit.Finding{Point: j.Point, Work: visit.Read, Risk: j.Risk()}
		if len(j.Reasons) > 0 {
			f.Why = j.Reasons[0] // the work itself stands before it
		}
		switch j.Action {
		case judge.CleanNow, judge.CleanAtVisit:
			f.Work = visit.Clean
		case judge.Replace:
			f.Work = visit.Replace
		case judge.LookAgain:
			f.Work, f.Risk = visit.Look, max(f.Risk, unknownRisk)
		case judge.Read:
			f.Risk = unknownRisk
		}
		if f.Risk >= leastRisk || j.Action != judge.Leave {
			f.Risk = max(f.Risk, leastRisk)
			all = append(all, f)
		}
	}
	return all
}

// RoundSheet writes a round as a workbook to fill in and take in again.
func RoundSheet(w io.Writer, plan VisitPlan) error {
	return visit.Sheet(w, plan.Register, plan.On, plan.Plan)
}
