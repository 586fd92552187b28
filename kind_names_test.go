package sootline

import "testing"

// TestKindsHaveNames names every kind, each by words of its own.
func TestKindsHaveNames(t *testing.T) {
	used := map[string]Kind{}
	for _, kind := range Kinds() {
		name, ok := kindNames()[kind.Kind]
		if !ok {
			t.Errorf("kind %s has no name", kind.Kind)
		}
		if other, twice := used[name]; twice {
			t.Errorf("%s and %s are both called %q", kind.Kind, other, name)
		}
		used[name] = kind.Kind
	}
	if got := KindName("unheard"); got != "unheard" {
		t.Errorf("a kind without a name is called %q", got)
	}
}

// TestKindsAreCounted says one and several of a kind.
func TestKindsAreCounted(t *testing.T) {
	for want, got := range map[string]string{
		"1 reading": KindCount(1, ReadKind), "2 readings": KindCount(2, ReadKind), "0 numbers": KindCount(0, AddressedKind),
		"1 device in place": KindCount(1, FittedKind), "327 devices in place": KindCount(327, FittedKind), "3 unheards": KindCount(3, "unheard"),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for kind := range manyNames() {
		if _, named := kindNames()[kind]; !named {
			t.Errorf("several of %s are named, and one is not", kind)
		}
	}
}
