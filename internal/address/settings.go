package address

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sootline"
)

// Difference is a setting that a device should have and was not found to have.
type Difference struct {
	Device int             // index in Loop.Devices
	Wish   sootline.Wished // what is wanted, whose wish it is, and why
	Found  string          // empty when nobody looked
}

// Differences lists the settings wanted and not found, device by device in walk
// order and by name within a device. Names and choices match regardless of case and
// of spaces around them.
func Differences(l Loop) []Difference {
	var all []Difference
	for _, i := range l.Walk() {
		has := keyed(l.Devices[i].Has)
		for _, wish := range l.Devices[i].Wishes {
			if found := has[key(wish.Name)]; !sameChoice(wish.Choice, found) {
				all = append(all, Difference{i, wish, found})
			}
		}
	}
	return all
}

// FoundSo reports whether the settings that were found are as a wish wants them.
func FoundSo(has map[string]string, w sootline.Wished) bool {
	return sameChoice(w.Choice, keyed(has)[key(w.Name)])
}

func sameChoice(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}

// key is the spelling by which names are matched.
func key(s string) string { return sootline.TypeKey(s) }

func keyed(settings map[string]string) map[string]string {
	all := make(map[string]string, len(settings))
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		all[key(name)] = settings[name]
	}
	return all
}

// The codes of findings about settings.
const (
	SettingDiffers = "setting-differs"  // found otherwise than wanted
	SettingUnseen  = "setting-unlooked" // wanted, and nobody looked
)

// settingKind is what the devices of one finding about settings share.
type settingKind struct {
	looked       bool
	name, choice string // as they are matched
}

// settings finds the devices of a loop that are not set as wanted: one finding for
// each setting and choice, and apart those at which nobody looked.
func settings(r *sootline.Register, id sootline.LoopID, points []*sootline.Point) []sootline.Finding {
	groups := map[settingKind][]taker{}
	for _, p := range points {
		has := keyed(p.Has)
		for _, w := range r.WishesOf(p) {
			if found := has[key(w.Name)]; !sameChoice(w.Choice, found) {
				kind := settingKind{found != "", key(w.Name), strings.ToLower(w.Choice)}
				groups[kind] = append(groups[kind], taker{Point: p})
			}
		}
	}
	kinds := slices.SortedFunc(maps.Keys(groups), func(a, b settingKind) int {
		if a.looked != b.looked {
			return map[bool]int{true: -1, false: 1}[a.looked]
		}
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.choice, b.choice))
	})
	var findings []sootline.Finding
	for _, kind := range kinds {
		findings = append(findings, settingFinding(id, kind, groups[kind]))
	}
	return findings
}

func settingFinding(id sootline.LoopID, kind settingKind, of []taker) sootline.Finding {
	f := sootline.Finding{
		Code: SettingUnseen, Weight: sootline.Hint, Loop: id,
		Reason: fmt.Sprintf("%s on loop %s should have %s=%s, and nobody looked: %s", deviceCount(len(of)), id, kind.name, kind.choice, names(of)),
		WayOut: sootline.Out("look at the setting when the device is at hand, and note it").Do(sootline.ReadDevice),
	}
	if kind.looked {
		f.Code, f.Weight = SettingDiffers, sootline.Warning
		f.Reason = fmt.Sprintf("%s on loop %s should have %s=%s and was found otherwise: %s", deviceCount(len(of)), id, kind.name, kind.choice, names(of))
		f.WayOut = sootline.Out("set it as wanted, look again, and note it").Do(sootline.ReadDevice)
		if len(of) > 1 {
			f.Reason = strings.Replace(f.Reason, "and was found", "and were found", 1)
		}
	}
	for _, d := range of {
		f.Points = append(f.Points, d.Point)
	}
	return f
}

func deviceCount(n int) string {
	if n == 1 {
		return "1 device"
	}
	return fmt.Sprintf("%d devices", n)
}
