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
