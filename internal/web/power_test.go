package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline"

	"sootline/internal/app"
)

// The page of a loop's power says what app says of it, which is held against
// ngspice where it is computed; what-if changes it and writes nothing.
func TestPowerPage(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	id := survey.Register.Loops()[0].LoopID
	power, err := app.LoopPower(survey.Register, id, app.WhatIf{}, app.Ask{})
	if err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	page := b.get(site + "/power")
	for _, want := range []string{sootline.AsSentence(power.Verdict()), app.CircuitCaution, power.Circuit.Describe(power.Survey.Worst.Faults), power.Assumed[0]} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	mm2, err := app.LoopPower(survey.Register, id, app.WhatIf{MM2: 0.5}, app.Ask{})
	if err != nil {
		t.Fatal(err)
	}
	page = b.get(site + "/power?mm2=0,5")
	if want := leastVolts(mm2, &mm2.Survey.Worst); !strings.Contains(page, want) || !strings.Contains(page, leastVolts(power, &power.Survey.Worst)) {
		t.Errorf("a thinner cable is not compared: want %s", want)
	}
	if page = b.get(site + "/power?kind=short&sort=lost&way=down"); strings.Contains(page, `class="sentence">a break`) || !strings.Contains(page, "of "+count(len(power.Singles), "fault", "faults")) {
		t.Error("the table is not narrowed to shorts")
	}
	if surveyOf(t, s).Register.Entries != survey.Register.Entries {
		t.Error("a what-if wrote something")
	}
}

// A figure that cannot be comes back as it was typed, with one sentence.
func TestMistakenWhatIf(t *testing.T) {
	s, site := withDemo(t, nil)
	for address, want := range map[string]string{
		"/power?volts=many":                       "is not a number",
		"/power?mm2=-1":                           "is not between",
		"/power?volts=NaN":                        "is not a number",
		"/power?add=3":                            "added of a type",
		"/power?add=3&type=NoSuch":                "no type sheet named",
		"/power?isolator=9.9.999":                 "no point",
		"/power?fault=nothing":                    "is not a fault",
		"/power/find?find=short&out=6":            "is needed",
		"/power/find?find=murray&p=0&q=0":         "",
		"/battery?loads=sounders":                 "is not a line of a load list",
		"/battery?coldest=-400":                   "is not between",
		"/battery?rated=7&amps=0&hours=1":         "",
		"/power/advice?type=NoSuch":               "no type sheet named",
		"/power?of=9.9":                           "no loop",
		"/battery?panel=%3Cscript%3E&loads=%3Cb=": "is not a line",
	} {
		res := visit(t, s).do(http.MethodGet, site+address, "", nil)
		page := read(t, res)
		if res.StatusCode != 422 && res.StatusCode != 404 || !strings.Contains(page, want) {
			t.Errorf("%s gives %d", address, res.StatusCode)
		}
		for _, fault := range htmlFaults(page) {
			t.Errorf("%s: %s", address, fault)
		}
	}
}

// Where a short lies is what app says.
func TestFindPage(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	found, err := s.App.FindShort(t.Context(), survey.Register.Site.ID, survey.Register.Loops()[0].LoopID, app.ShortReading{FromOut: 6.4, FromIn: 11.2, Meter: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if page := visit(t, s).get(site + "/power/find?find=short&out=6.4&in=11,2"); !strings.Contains(page, found.Sentence) || !strings.Contains(page, meterRule) {
		t.Error("the page does not say where the short lies, or the rule for meters")
	}
}

// One more isolator, where the advice would have it, leaves of the worst short what
// the advice says, which finds it by another way.
func TestOneMoreIsolator(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	id := survey.Register.Loops()[0].LoopID
	advice, err := s.App.AdviseLoop(t.Context(), survey.Register.Site.ID, survey.On, id, "")
	if err != nil || advice.NextIsolator == nil {
		t.Fatal(advice, err)
	}
	for base, want := range map[string]int{"": advice.NextIsolator.Before, advice.NextIsolator.Point: advice.NextIsolator.Worst} {
		power, err := app.LoopPower(survey.Register, id, app.WhatIf{Base: base}, app.Ask{})
		if err != nil {
			t.Fatal(err)
		}
		most := 0
		for i := range power.Singles {
			most = max(most, len(power.Singles[i].Loss.Points))
		}
		if most != want {
			t.Errorf("with an isolator more at %q the worst fault takes %d devices, the advice says %d", base, most, want)
		}
	}
}

// TestLeadPage goes from what the panel says to a defect in the log: the page says what app says, keeps what was told in
// its address, draws the step, and writes only where it is asked to.
func TestLeadPage(t *testing.T) {
	s, site := withDemo(t, nil)
	survey := surveyOf(t, s)
	id := survey.Register.Loops()[0].LoopID
	told := app.FaultTold{Panel: "says double; silent 3; twice 10"}
	lead, err := s.App.LeadFault(t.Context(), survey.Register.Site.ID, id, told)
	if err != nil || lead.Next == nil {
		t.Fatal(lead, err)
	}
	b := visit(t, s)
	page := b.get(site + "/power/lead?says=double&who=silent&list=3&twice=10")
	for _, want := range []string{lead.Next.Do[0], lead.Next.Caution, `name="step" value="` + lead.Next.Code + `"`, `class="lead"`, "So far"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	page = b.get(site + "/power/lead?panel=" + queryWord(told.Panel) + "&step=both/list&says=double&who=silent&list=3&twice=10")
	if !strings.Contains(page, "Where it is") || !strings.Contains(page, "at 1.1.003 carries the number of 1.1.010") {
		t.Error("two lists that agree do not end the search")
	}
	if surveyOf(t, s).Register.Entries != survey.Register.Entries {
		t.Error("a search wrote something")
	}
	form := url.Values{"of": {id.String()}, "panel": {told.Panel}, "told": {"both/list: says double; silent 3; twice 10"}, "id": {s.newID()}, "grade": {"serious"}}
	b.post(site+"/power/lead", form)
	if open := surveyOf(t, s).Register.OpenDefects(); len(open) != len(survey.Register.OpenDefects())+1 {
		t.Errorf("%d defects are open, want one more than %d", len(open), len(survey.Register.OpenDefects()))
	}
	for _, mistaken := range []string{"?panel=says+maybe", "?says=open&told=nowhere/list:+all", "?says=open&step=off/ohms-in&reading=many", "?says=missing&who=silent&list=9-3"} {
		if res := b.do(http.MethodGet, site+"/power/lead"+mistaken, "", nil); res.StatusCode != 422 {
			t.Errorf("%s gives %d", mistaken, res.StatusCode)
		}
	}
}
