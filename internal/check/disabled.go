package check

import (
	"fmt"
	"time"

	"sootline"
)

// forgotten finds what has been out of use longer than the site's rule allows.
func (c checker) forgotten() []sootline.Finding { return c.outOfUse(true) }

// disabled finds what is out of use, and may be for some days more.
func (c checker) disabled() []sootline.Finding { return c.outOfUse(false) }

func (c checker) outOfUse(forgotten bool) []sootline.Finding {
	var findings []sootline.Finding
	for _, p := range c.Points() {
		if p.Disabled != nil && c.tooLong(p.Disabled) == forgotten {
			f := c.outOfUseFinding(p.Ref().String(), p.Disabled)
			f.Points, f.Loop = []*sootline.Point{p}, p.LoopID()
			f.WayOut = sootline.Out("put it back into use, then note it").Do(sootline.AddEntry, string(sootline.RestoredKind), p.Ref().String())
			findings = append(findings, f)
		}
	}
	for _, event := range c.parts() {
		if c.tooLong(&event) == forgotten {
			f := c.outOfUseFinding("a part of the site", &event)
			f.WayOut = sootline.Out("put it back into use, then note it with the same words").Do(sootline.AddEntry, string(sootline.RestoredKind))
			findings = append(findings, f)
		}
	}
	return findings
}

// parts lists the disablements of parts of the site that still stand: those
// that no restoring in the same words, or in none, came after.
func (c checker) parts() []sootline.Event {
	var standing []sootline.Event
	for _, event := range c.Events {
		switch event.Kind {
		case sootline.DisabledKind:
			standing = append(standing, event)
		case sootline.RestoredKind:
			left := standing[:0]
			for _, before := range standing {
				if event.Text != "" && event.Text != before.Text {
					left = append(left, before)
				}
			}
			standing = left
		}
	}
	return standing
}

func (c checker) tooLong(event *sootline.Event) bool {
	return c.on.Sub(event.At) > time.Duration(c.Site.Rules.ForgottenDays)*24*time.Hour
}

func (c checker) outOfUseFinding(what string, event *sootline.Event) sootline.Finding {
	reason := fmt.Sprintf("%s has been out of use since %s", what, day(event.At))
	if event.At.After(sootline.LongAgo) {
		reason += fmt.Sprintf(", %s", count(int(c.on.Sub(event.At).Hours()/24), "day"))
	}
	for _, why := range [...]string{event.Cause, event.Text} {
		if why != "" {
			reason += ": " + why
		}
	}
	f := sootline.Finding{Code: Disabled, Weight: sootline.Warning, Reason: reason, Entries: []sootline.ID{event.Entry.ID}}
	if c.tooLong(event) {
		f.Code, f.Weight = Forgotten, sootline.Serious
		f.Reason += fmt.Sprintf("; more than %s counts as forgotten here", count(c.Site.Rules.ForgottenDays, "day"))
	}
	return f
}
