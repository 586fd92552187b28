package sootline

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/json"
	"strings"
	"testing"
	"time"
)

func testHead() SignedHead {
	return Secret{1, 2, 3}.Sign(NewID(time.UnixMilli(1e12), [10]byte{7}), Head{"laptop \"1\"", 12, Hash{9, 8}})
}

// What is signed is put together here from docs/formats/log.md, not from the code.
func TestSignedHead(t *testing.T) {
	h := testHead()
	text := "sootline head 1\n" + h.Site.String() + "\n12\n" + base64.RawURLEncoding.EncodeToString(h.Hash[:]) + "\nlaptop \"1\""
	if !ed25519.Verify(h.Key[:], []byte(text), h.Sig[:]) || !h.Genuine() {
		t.Fatal("the signature is not of the text that the documentation names")
	}
	for name, change := range map[string]func(*SignedHead){
		"site":      func(h *SignedHead) { h.Site[3]++ },
		"station":   func(h *SignedHead) { h.Station += "x" },
		"seq":       func(h *SignedHead) { h.Seq++ },
		"hash":      func(h *SignedHead) { h.Hash[15]++ },
		"key":       func(h *SignedHead) { h.Key = Secret{9}.Key() },
		"signature": func(h *SignedHead) { h.Sig[0]++ },
	} {
		other := h
		change(&other)
		if other.Genuine() {
			t.Errorf("another %s, and still genuine", name)
		}
	}
}

func TestHeadLine(t *testing.T) {
	h := testHead()
	line := AppendHeadLine(nil, &h)
	if !json.Valid(line) || !IsHeadLine(line) {
		t.Fatalf("not a head's line: %s", line)
	}
	again, err := ParseHeadLine(line)
	if err != nil || again != h {
		t.Fatalf("came back as %+v, %v", again, err)
	}
	text := string(line)
	for _, wrong := range []string{
		strings.Replace(text, `{"head":{`, `{"head": {`, 1), strings.Replace(text, `"seq":12`, `"seq":012`, 1), strings.Replace(text, `"seq":12`, `"seq":0`, 1),
		text + " ", text[:len(text)-2], strings.Replace(text, `"sig":"`, `"sig":"=`, 1),
	} {
		if _, err := ParseHeadLine([]byte(wrong)); ErrorCode(err) != Invalid {
			t.Errorf("taken, or told wrongly (%v): %s", err, wrong)
		}
	}
}

func TestGatherPins(t *testing.T) {
	head := Head{"laptop", 3, Hash{1}}
	entries := []Entry{{Body: Note{Text: "x"}}, {Body: Pinned{Heads: []Head{head, {"phone", 1, Hash{2}}}}}}
	pins := GatherPins(entries)
	if len(pins) != 2 || pins[0].Head != head || pins[1].Entry != &entries[1] {
		t.Errorf("found %+v", pins)
	}
}
