package app

import "testing"

// TestTroubleIsOver: what was told of a source that was gone is not told beside a good state, and stays while it is gone.
func TestTroubleIsOver(t *testing.T) {
	h := &ValueHearer{folder: t.TempDir(), Say: func(string) {}}
	h.joined(false)
	h.say("bus: 1.1.003 has no answer")
	h.joined(false)
	if f := readFacts(h.folder); f.Said == "" || f.Joined {
		t.Errorf("while it is gone: %+v", f)
	}
	h.joined(true)
	if f := readFacts(h.folder); f.Said != "" || !f.Joined {
		t.Errorf("when it is there again: %+v", f)
	}
}
