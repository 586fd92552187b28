package address

import (
	"maps"
	"slices"
	"strings"

	"sootline"
)

// SettingRule says how every device of an area is to be set, for example:
// bedrooms, blink off. An empty area or type means any.
type SettingRule struct {
	Area, Type   string
	Name, Choice string
}

// Difference is a setting that a device should have and does not have.
type Difference struct {
	Device int // index in Loop.Devices
	Name   string
	Wanted string
	Found  string       // empty when nobody looked
	Rule   *SettingRule // the rule that wants it; nil when it is wanted of this very device
}

// Differences lists the settings wanted and not found, device by device in walk
// order and by name within a device. What is wanted of a device itself comes
// before any rule, and a later rule before an earlier one. Names, choices,
// areas and types match regardless of case and of spaces around them.
func Differences(l Loop, rules []SettingRule) ([]Difference, error) {
	for _, r := range rules {
		if key(r.Name) == "" || key(r.Choice) == "" {
			return nil, sootline.Errorf(sootline.Invalid, "write name=choice, for example blink=off",
				"a rule for area %q needs the name of a setting and its choice", clip(r.Area))
		}
	}
	var all []Difference
	for _, i := range l.Walk() {
		d := l.Devices[i]
		wanted := d.wishes(rules)
		has := keyed(d.Has)
		for _, name := range slices.Sorted(maps.Keys(wanted)) {
			wish := wanted[name]
			if !strings.EqualFold(strings.TrimSpace(wish.Wanted), strings.TrimSpace(has[name])) {
				wish.Device, wish.Found = i, has[name]
				all = append(all, wish)
			}
		}
	}
	return all, nil
}

// wishes gathers what is wanted of a device, by setting.
func (d Device) wishes(rules []SettingRule) map[string]Difference {
	wanted := map[string]Difference{}
	for k := range rules {
		r := &rules[k]
		if matches(r.Area, d.Area) && matches(r.Type, d.Type) {
			wanted[key(r.Name)] = Difference{Name: strings.TrimSpace(r.Name), Wanted: r.Choice, Rule: r}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(d.Wants)) {
		wanted[key(name)] = Difference{Name: strings.TrimSpace(name), Wanted: d.Wants[name]}
	}
	return wanted
}

func matches(rule, value string) bool { return key(rule) == "" || key(rule) == key(value) }

// key is the spelling by which names are matched.
func key(s string) string { return sootline.TypeKey(s) }

func keyed(settings map[string]string) map[string]string {
	all := make(map[string]string, len(settings))
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		all[key(name)] = settings[name]
	}
	return all
}
