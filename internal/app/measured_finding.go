package app

import (
	"strings"

	"sootline"
)

// MeasuredAgainst is the code of the finding that what was measured of a loop contradicts its facts.
const MeasuredAgainst = "measured-against-facts"

// contradicted finds the loops of which something was measured that contradicts what their facts come to. Where the facts
// themselves cannot be calculated nothing is said here: findings on them, and the loop's own page, tell that.
func contradicted(r *sootline.Register) []sootline.Finding {
	var findings []sootline.Finding
	for _, loop := range r.LoopsMeasured() {
		m, err := MeasuredOf(r, loop)
		if err != nil || len(m.Against()) == 0 {
			continue
		}
		findings = append(findings, sootline.Finding{
			Code: MeasuredAgainst, Weight: sootline.Warning, Loop: loop, Entries: m.entriesAgainst(),
			Reason: "what was measured of loop " + loop.String() + " contradicts its facts: " + strings.Join(m.Against(), "; "),
			WayOut: sootline.Out(MendMeasured).Do(sootline.AddEntry, string(sootline.MeasuredKind)),
		})
	}
	return findings
}

// entriesAgainst lists the entries of the figures that contradict the facts.
func (m *LoopMeasured) entriesAgainst() []sootline.ID {
	var entries []sootline.ID
	for i := range m.Last {
		if one := &m.Last[i]; one.Off() != 0 && (len(entries) == 0 || entries[len(entries)-1] != one.Entry) {
			entries = append(entries, one.Entry)
		}
	}
	return entries
}
