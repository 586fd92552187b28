package shape

import (
	"sootline"
	"sootline/internal/app"
)

// Figures are the figures of a site, as docs/methods/counting.md defines them.
type Figures struct {
	Points       int     `json:"points"`
	Detectors    int     `json:"detectors"`
	KindNotKnown int     `json:"kind_not_known" doc:"Of the detectors"`
	UnderTest    int     `json:"under_test"`
	Tested       int     `json:"tested" doc:"Of the points under test, within twelve months"`
	Failed       int     `json:"failed" doc:"Of the points under test, those whose last test was not passed"`
	PointsRead   int     `json:"points_read" doc:"In twelve months"`
	FireSignals  int     `json:"fire_signals" doc:"In twelve months; likewise the next six"`
	FalseAlarms  int     `json:"false_alarms"`
	Incidents    int     `json:"incidents"`
	Attended     int     `json:"attended" doc:"False alarms to which the fire service came"`
	RealFires    int     `json:"real_fires"`
	TestSignals  int     `json:"test_signals"`
	ToBeAsked    int     `json:"to_be_asked" doc:"Alarms of which nobody said whether they were tests"`
	DefectsOpen  int     `json:"defects_open"`
	Mended       int     `json:"defects_mended" doc:"They wait for their retest"`
	NextDue      *string `json:"next_due"`
	Overdue      bool    `json:"overdue"`
	UserNext     *string `json:"user_next"`
}

// OfFigures shapes figures.
func OfFigures(f *app.Figures) Figures {
	return Figures{
		Points: f.Points.All, Detectors: f.Points.Detectors, KindNotKnown: f.Points.KindUnknown, UnderTest: f.Points.UnderTest, Tested: f.Tested.N, Failed: f.Tested.Failed,
		PointsRead: f.Read, FireSignals: f.Signals.Signals, FalseAlarms: f.Signals.False, Incidents: f.Signals.Incidents, Attended: f.Signals.Attended,
		RealFires: f.Signals.Fires, TestSignals: f.Signals.Tests, ToBeAsked: f.Signals.Asked, DefectsOpen: f.Defects.Open, Mended: f.Defects.Mended,
		NextDue: dayOrNull(f.Next.Day), Overdue: f.Next.Overdue, UserNext: dayOrNull(f.Next.User),
	}
}

// Facts are the facts of a site that papers need; what nobody said is left out.
type Facts = sootline.SiteFacts
