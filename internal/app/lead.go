package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/circuit"
	"sootline/internal/fault"
)

// FaultTold is what was told of a fault so far.
type FaultTold struct {
	Panel   string   // what the panel says, as [fault.Ring.Panel] reads it; empty: not known
	Told    []string // steps with their answers, in order, as [fault.Ring.Told] reads them
	NoMeter bool     // no multimeter is at hand
}

// Lead is a search for a fault on a loop: what to do next, or where it is.
type Lead struct {
	Loop    string
	Next    *LeadStep // nil: it is over
	Likely  []LeadVerdict
	Warned  []string // what comes before the next step: where to look first, a reading that is the wrong way round
	Against bool     // it is over, and what was told fits no single fault
	Doubts  []string // answers that fit no likely cause
	Beyond  float64  // the share of two faults at once, or of one that is not thought of
	Restore []string // what is to be plugged in again where the search is left now
	Assumed []string // of the loop, because nobody wrote it down
	Spurs   int      // points on spurs, along which the search does not look
}

// LeadStep is what to do next.
type LeadStep struct {
	Code    string // as it is spelled where its answer is told
	Look    string // what kind of answer it takes: list, volts, ohms or seen
	Do      []string
	Caution string
	Expects string
	Minutes int // as expected, rounded
	Picture LeadPicture
}

// LeadPicture is the part of the loop that a step is about.
type LeadPicture struct {
	Panel  string // which ends are plugged in, in words
	Out    bool   // the end at OUT is plugged in, and
	In     bool   // the one at IN
	Names  []string
	Plug   int    // the cable behind this one is unplugged; -1: none
	Leads  int    // the meter or the eye is at this one; -1: at the panel
	ToIn   bool   // the leads are at the terminals towards IN, or at the cable that leads there
	Meter  string // what is read: V, ohm, or nothing
	Before bool   // the loop goes on before the first, and
	Behind bool   // behind the last
}

// LeadChoice is a word of an answer, with what it says.
type LeadChoice = fault.Choice

// LeadMessages lists what the panel may say.
func LeadMessages() []LeadChoice { return fault.Messages() }

// LeadSights lists what may be seen at a device or along a cable.
func LeadSights() []LeadChoice { return fault.Sights() }

// LeadVerdict is a place where the fault may be.
type LeadVerdict struct {
	Kind  string
	Where string
	Share float64
	Text  string // with how sure, in words and number
	point string
	gone  bool // nothing is wrong now
	sure  string
}

// LeadFault says the next step of a search for a fault, or where it is.
func (a *App) LeadFault(ctx context.Context, site sootline.ID, id sootline.LoopID, told FaultTold) (*Lead, error) {
	loop, d, err := a.loopOf(ctx, site, id)
	if err != nil {
		return nil, err
	}
	ring, err := fault.RingOf(&loop, fault.Supply{Low: d.supply.LowVolts, Usual: d.supply.Volts, High: d.supply.HighVolts})
	if err != nil {
		return nil, err
	}
	gaps := slices.DeleteFunc(d.gaps, func(g circuit.Gap) bool { return !g.Cable })
	lead := &Lead{Loop: id.String(), Assumed: circuit.CountGaps(gaps), Spurs: ring.OnSpurs()}
	return lead, lead.follow(&ring, told)
}

// follow goes through all that was told, and says what comes next.
func (l *Lead) follow(ring *fault.Ring, told FaultTold) error {
	panel, err := ring.Panel(told.Panel)
	if err != nil {
		return err
	}
	search, err := fault.New(*ring, panel, fault.Means{Meter: !told.NoMeter})
	if err != nil {
		return err
	}
	l.warn(ring.LookFirst(&panel))
	for _, text := range told.Told {
		asked, err := ring.Told(text)
		if err != nil {
			return err
		}
		l.warn(ring.Reversed(&asked))
		search.Record(asked)
	}
	for _, v := range search.Likeliest(3) {
		if v.Sure < 0.005 && len(l.Likely) > 0 {
			break
		}
		l.Likely = append(l.Likely, leadVerdict(ring, v))
	}
	l.Beyond, l.Restore = search.Beyond(), search.Restore()
	for _, i := range search.Doubtful() {
		text := "what the panel said first: " + told.Panel
		if i > 0 {
			text = told.Told[i-1]
		}
		l.Doubts = append(l.Doubts, text)
	}
	step, verdict := search.Next()
	if verdict == nil {
		l.Next = leadStep(ring, search, step)
	} else {
		l.Against = verdict.Contradicted
	}
	return nil
}

func (l *Lead) warn(text string) {
	if text != "" {
		l.Warned = append(l.Warned, text)
	}
}

func leadVerdict(ring *fault.Ring, v fault.Verdict) LeadVerdict {
	lv := LeadVerdict{Kind: v.Kind.String(), Where: ring.Where(v.Kind, v.At), Share: v.Sure, Text: ring.Say(v), sure: fault.Sure(v.Sure)}
	lv.gone = v.Kind.Gone()
	if !v.Kind.OfCable() && !lv.gone {
		lv.point = ring.Devices[v.At].Name
	}
	return lv
}

func leadStep(ring *fault.Ring, search *fault.Search, s fault.Step) *LeadStep {
	return &LeadStep{
		Code: ring.Spell(s), Look: [...]string{fault.AtPanel: "list", fault.AtVolts: "volts", fault.AtOhms: "ohms", fault.AtDevice: "seen", fault.AtStretch: "seen"}[s.Look], Do: search.Do(s), Caution: fault.Caution(s), Expects: fault.Expects(s),
		Minutes: int(math.Ceil(search.Minutes(s))), Picture: leadPicture(ring, s),
	}
}

// leadPicture shows the devices around the place of a step.
func leadPicture(ring *fault.Ring, s fault.Step) LeadPicture {
	p := LeadPicture{
		Panel: [...]string{"OUT and IN plugged in", "only OUT plugged in", "only IN plugged in", "OUT and IN unplugged"}[s.Feed],
		Out:   s.Feed == fault.Both || s.Feed == fault.FromOut, In: s.Feed == fault.Both || s.Feed == fault.FromIn, Plug: -1, Leads: -1, ToIn: s.ToIn,
	}
	at := []int{}
	if s.OpenAt != fault.None {
		at = append(at, s.OpenAt)
	}
	look := s.At
	switch s.Look {
	case fault.AtPanel:
		look = fault.None
	case fault.AtVolts:
		p.Meter = "V"
	case fault.AtOhms:
		p.Meter, look = "ohm", s.OpenAt
	case fault.AtStretch:
		look = min(s.At, len(ring.Devices)-1)
	}
	if look != fault.None {
		at = append(at, look)
	}
	if len(at) == 0 {
		return p
	}
	low, high := max(0, slices.Min(at)-1), min(len(ring.Devices)-1, slices.Max(at)+1)
	if high-low > 6 { // far apart: the place of the look alone
		low, high = max(0, look-1), min(len(ring.Devices)-1, look+1)
	}
	for k := low; k <= high; k++ {
		p.Names = append(p.Names, ring.Devices[k].Name)
		if k == s.OpenAt {
			p.Plug = k - low
		}
		if k == look {
			p.Leads = k - low
		}
	}
	p.Before, p.Behind = low > 0, high < len(ring.Devices)-1
	return p
}

// Conclusion is what a search has come to, in one sentence.
func (l *Lead) Conclusion() string {
	best := l.Likely[0]
	switch {
	case l.Against && best.Where == "":
		return "What was told fits no single fault, so there is no verdict: there may be more than one, or one that comes and goes."
	case l.Against:
		return fmt.Sprintf("What was told fits no single fault, so there is no verdict: there may be two or more. Nearest to it, as one of at least two: %s %s. Look there, mend what is seen, and search again.", best.Kind, best.Where)
	case l.Next == nil && best.gone && best.Share >= 0.6:
		return fmt.Sprintf("Nothing that was told is wrong now: %s. What the panel said first may come back. Stop here, and search again while it says so.", best.sure)
	case l.Next == nil && best.Share < 0.6:
		return fmt.Sprintf("No step that is left tells more. Likeliest of all: %s.", best.Text)
	case l.Next == nil:
		return fmt.Sprintf("%s. Look there before anything is replaced.", sootline.Capital(best.Text))
	}
	if best.Share >= 0.9 {
		return fmt.Sprintf("Still to be confirmed: %s.", best.Text)
	}
	return fmt.Sprintf("Not sure enough yet. Likeliest so far: %s.", best.Text)
}

// Doubt says which answers fit nothing, or nothing.
func (l *Lead) Doubt() string {
	if len(l.Doubts) == 0 {
		return ""
	}
	if l.Next == nil && !l.Against {
		return fmt.Sprintf("One answer does not fit it, and is taken as misread: %s. If it stands when it is asked again, do not mend by this.", strings.Join(l.Doubts, "; "))
	}
	return fmt.Sprintf("This fits nothing that is likely: %s. Ask it again; if it stands, there may be more than one fault, or the loop is not as it is written down.", strings.Join(l.Doubts, "; "))
}

// Other says the share of two faults at once, or of one that is not thought of; empty where it is next to nothing.
func (l *Lead) Other() string {
	if l.Against || l.Beyond < 0.005 {
		return ""
	}
	return fault.Beyond(l.Beyond)
}

// Writable says whether the search ended with a fault that can be written down.
func (l *Lead) Writable() bool { return l.Next == nil && !l.Against && !l.Likely[0].gone }

// reserve is what an entry says beside the verdict, so that it is no surer than the search was.
func (l *Lead) reserve() string {
	text := ""
	if other := l.Other(); other != "" {
		text = "; or " + other
	}
	if len(l.Doubts) > 0 {
		text += "; this does not fit it: " + strings.Join(l.Doubts, "; ")
	}
	return text
}

// NoteFault writes down what a search came to, as a defect of the device or of the stretch of cable. It is taken back like
// any entry.
func (a *App) NoteFault(ctx context.Context, site sootline.ID, id sootline.LoopID, told FaultTold, grade sootline.DefectGrade, n Note) (sootline.Entry, error) {
	lead, err := a.LeadFault(ctx, site, id, told)
	if err != nil {
		return sootline.Entry{}, err
	}
	if lead.Next != nil {
		return sootline.Entry{}, sootline.Errorf(sootline.Invalid, "answer the next step: "+lead.Next.Code, "the search on loop %s is not at its end, so there is nothing to write down yet", lead.Loop)
	}
	if lead.Against {
		return sootline.Entry{}, sootline.Errorf(sootline.Conflict, "ask again what is doubted, or write down what you saw as a defect of your own", "what was told of loop %s fits no single fault, so there is nothing to write down", lead.Loop)
	}
	best := lead.Likely[0]
	if best.gone {
		return sootline.Entry{}, sootline.Errorf(sootline.Conflict, "search again while the panel says so, or write down what you saw as a defect of your own", "nothing is wrong on loop %s now, so there is nothing to write down", lead.Loop)
	}
	d := sootline.Defect{Nature: sootline.FaultDefect, Grade: grade, Text: best.Text + lead.reserve()}
	if best.point == "" {
		d.Place = "loop " + lead.Loop + ", " + best.Where
	}
	if err := a.notNoted(ctx, site, best.point, &d); err != nil {
		return sootline.Entry{}, err
	}
	n.Point, n.Body = best.point, d
	return a.AddEntry(ctx, site, n)
}
