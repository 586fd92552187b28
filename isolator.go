package sootline

import "strings"

// IsolatorAt says on which side of a point an isolator opens towards a short:
// "before", "after", "base" (both) or "branch" (towards the spur that hangs from
// it); "none" where it is known to have none, empty where nobody said. It stands
// in the point's setting "isolator"; a device that is an isolator opens on both.
func (r *Register) IsolatorAt(p *Point) string {
	for name, choice := range p.Settings() {
		if !strings.EqualFold(name, "isolator") {
			continue
		}
		switch choice = strings.ToLower(choice); choice {
		case "yes", "base":
			return "base"
		case "no", "none":
			return "none"
		case "after", "before", "branch":
			return choice
		}
	}
	if sheet := r.Sheet(p.Type); sheet != nil && sheet.Kind == Isolator {
		return "base"
	}
	return ""
}
