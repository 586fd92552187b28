package sootline

import (
	"fmt"
	"slices"
	"strings"
)

// LoadsKind is the kind of [LoadList].
const LoadsKind Kind = "loads"

// LoadList states what hangs on the battery of a panel beside the devices on its
// loops, which the register holds, and what the battery has to live up to. A later
// one of the same panel replaces it whole. Fields that are zero or nil are not known.
type LoadList struct {
	Panel        string      `json:"panel"`
	OwnRestMA    *float64    `json:"own_rest_ma,omitempty"`   // drawn by the panel itself, mains failed
	OwnAlarmMA   *float64    `json:"own_alarm_ma,omitempty"`  // drawn by the panel itself in alarm
	Loads        []PanelLoad `json:"loads,omitempty"`         // sounder circuits, outputs, auxiliary supply
	Rule         string      `json:"rule,omitempty"`          // name of the rule set that sizes it
	StandbyHours float64     `json:"standby_hours,omitempty"` // the site's own, in place of the rule's
	AlarmHours   float64     `json:"alarm_hours,omitempty"`   // the site's own, in place of the rule's
	Margin       float64     `json:"margin,omitempty"`        // the site's own factor, in place of the rule's
	Coldest      *float64    `json:"coldest,omitempty"`       // lowest temperature of the battery, in degrees Celsius
	Design       float64     `json:"design,omitempty"`        // factor for load that is added later
	Ageing       float64     `json:"ageing,omitempty"`        // factor where the rule has none
	ChargerMA    float64     `json:"charger_ma,omitempty"`    // what the charger gives on average beside the load
	Accepts      float64     `json:"accepts,omitempty"`       // share of the charge that the battery keeps
	LargestAh    float64     `json:"largest_ah,omitempty"`    // the largest battery that the panel takes
}

// PanelLoad is one line of a load list.
type PanelLoad struct {
	Part    LoadPart `json:"part"`
	Name    string   `json:"name"`
	Count   int      `json:"count"`
	RestMA  float64  `json:"rest_ma,omitempty"`  // of one
	AlarmMA float64  `json:"alarm_ma,omitempty"` // of one
}

// LoadPart says through what a load hangs on a panel.
type LoadPart string

// The parts of a load list that are written down by hand. The panel's own draw is
// a field of the list, and the devices on loops stand on the register.
const (
	SounderLoads   LoadPart = "sounders"  // circuits of sounders that leave the panel itself
	OutputLoads    LoadPart = "outputs"   // relays and other outputs
	AuxiliaryLoads LoadPart = "auxiliary" // what is fed from the panel's auxiliary supply
)

// LoadParts lists the parts, in the order of a load list.
func LoadParts() []LoadPart { return []LoadPart{SounderLoads, OutputLoads, AuxiliaryLoads} }

// OwnDraw is the name of the panel's own line in a load list.
const OwnDraw = "panel"

// Kind is LoadsKind.
func (LoadList) Kind() Kind { return LoadsKind }

func (l LoadList) say() string {
	parts := []string{"load list of panel " + l.Panel}
	if l.OwnRestMA != nil && l.OwnAlarmMA != nil {
		parts = append(parts, fmt.Sprintf("the panel itself %s / %s mA", figureText(*l.OwnRestMA), figureText(*l.OwnAlarmMA)))
	}
	for _, load := range l.Loads {
		parts = append(parts, load.String())
	}
	celsius := ""
	if l.Coldest != nil {
		celsius = "down to " + figureText(*l.Coldest) + "\u202f°C"
	}
	return Joined(append(
		parts, labelledText("by", l.Rule), labelledText("at rest for", figure(l.StandbyHours, "h")), labelledText("in alarm for", figure(l.AlarmHours, "h")),
		labelledText("factor", figureTextOr(l.Margin)), celsius, labelledText("for later load", figureTextOr(l.Design)), labelledText("ageing", figureTextOr(l.Ageing)),
		labelledText("charger", figure(l.ChargerMA, "mA")), labelledText("of which the battery keeps", figureTextOr(l.Accepts)), labelledText("largest battery", figure(l.LargestAh, "Ah")),
	)...)
}

// figureTextOr writes a number without a unit; nothing when it is not known.
func figureTextOr(x float64) string { return strings.TrimSpace(figure(x, "")) }

// String writes a line as it is typed, with its part.
func (p PanelLoad) String() string {
	return fmt.Sprintf("%s: %s = %d x %s / %s mA", p.Part, p.Name, p.Count, figureText(p.RestMA), figureText(p.AlarmMA))
}

func (l LoadList) check() error {
	if l.Panel == "" {
		return Errorf(Invalid, "", "a load list needs the name of its panel")
	}
	if (l.OwnRestMA == nil) != (l.OwnAlarmMA == nil) {
		return Errorf(Invalid, "give both, at rest and in alarm", "the panel's own draw is half known")
	}
	figures := []float64{l.StandbyHours, l.AlarmHours, l.Margin, l.Design, l.Ageing, l.ChargerMA, l.Accepts, l.LargestAh}
	if l.OwnRestMA != nil {
		figures = append(figures, *l.OwnRestMA, *l.OwnAlarmMA)
	}
	for _, load := range l.Loads {
		if strings.TrimSpace(load.Name) == "" || load.Count < 0 || load.Count > 1e6 {
			return Errorf(Invalid, "", "a line of a load list has a name, and a number from 0 to 1000000, found %q and %d", clip(load.Name), load.Count)
		}
		figures = append(figures, load.RestMA, load.AlarmMA)
	}
	for _, x := range figures {
		if !finite(x) || x < 0 || x > 1e6 {
			return Errorf(Invalid, "", "a figure of a load list is a number from 0 to 1000000, found %v", x)
		}
	}
	return nil
}

// checkNew refuses what contradicts itself, and what would be counted twice.
func (l LoadList) checkNew() error {
	for _, factor := range []float64{l.Margin, l.Design, l.Ageing} {
		if factor != 0 && factor < 1 {
			return Errorf(Invalid, "leave it out where there is none", "a factor of a battery is from 1, found %v", factor)
		}
	}
	if l.Accepts > 1 {
		return Errorf(Invalid, "for example 0.8", "a battery keeps a share of its charge from 0 to 1, found %v", l.Accepts)
	}
	if l.Coldest != nil && (!finite(*l.Coldest) || *l.Coldest < -60 || *l.Coldest > 60) {
		return Errorf(Invalid, "", "the temperature of a battery lies between -60 and 60 degrees, found %v", *l.Coldest)
	}
	names := []string{OwnDraw}
	for _, load := range l.Loads {
		name := strings.ToLower(strings.TrimSpace(load.Name))
		if !slices.Contains(LoadParts(), load.Part) {
			return Errorf(Invalid, "it is of sounders, outputs or auxiliary", "%q is no part of a load list", clip(string(load.Part)))
		}
		if slices.Contains(names, name) {
			return Errorf(Invalid, "give each line a name of its own; the panel's own draw has its own field", "the load list holds %q twice", clip(load.Name))
		}
		names = append(names, name)
	}
	if l.Panel != CleanName(l.Panel) || strings.ContainsAny(l.Panel, "./ ") {
		return Errorf(Invalid, "for example 1", "the name of a panel is in capitals, without points or spaces, found %q", clip(l.Panel))
	}
	return nil
}

// KeptLoads is a load list with the entry that states it.
type KeptLoads struct {
	LoadList
	Entry ID
}

func (l LoadList) fold(r *Register, e *Entry) {
	r.loads[CleanName(l.Panel)] = &KeptLoads{l, e.ID}
}

func (l LoadList) facts() []FactSaid {
	return oneFact("what hangs on the battery of panel "+l.Panel, l)
}
