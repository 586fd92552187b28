package worlds

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// kinds are all kinds that are written as such; often are those of a working day.
var (
	kinds = []string{
		"opened", "service", "loop", "supply", "area", "sheet", "fitted", "moved", "removed", "addressed", "set", "read",
		"tested", "cleaned", "rebased", "restored", "unreached", "replaced", "alarm", "fault", "disabled", "changed",
		"visit", "note", "defect", "followed", "mended", "retested", "issued", "pinned",
	}
	often = []string{
		"tested", "tested", "tested", "read", "read", "cleaned", "replaced", "alarm", "alarm", "fault", "visit", "visit",
		"note", "defect", "mended", "mended", "retested", "retested", "followed", "disabled", "restored", "removed", "fitted",
	}
)

// body makes what an entry of a kind says, with its keys in the order of the log's format.
func (t *teller) body(kind string) json.RawMessage {
	switch kind {
	case "opened", "service", "loop", "supply", "area", "sheet":
		return json.RawMessage(t.facts(kind))
	case "fitted", "moved", "removed", "addressed", "set", "replaced", "changed":
		return json.RawMessage(t.setup(kind))
	case "defect", "followed", "mended", "retested":
		return json.RawMessage(t.mending(kind))
	}
	return json.RawMessage(t.working(kind))
}

// facts are bodies about the site.
func (t *teller) facts(kind string) string {
	switch kind {
	case "opened":
		return pick(t.rng, `{"name":"Mill","zone":"`+t.story.Zone+`"}`, `{"name":"Old Mill"}`, `{"zone":"Nowhere/Land"}`, `{"rules":{"visit_months":3}}`)
	case "service":
		return pick(t.rng, `{"rules":[{"name":"own","form":"every","known":"own","months":6}]}`,
			`{"minutes":{"test":5}}`, `{"rules":[{"name":"own","form":"never","known":"own"}]}`)
	case "loop":
		return pick(t.rng, `{"panel":"1","loop":"1","first":1,"last":126}`, `{"panel":"1","loop":"9","first":1,"last":10}`, `{"panel":"1","loop":"1","first":9,"last":1}`)
	case "supply":
		return pick(t.rng, `{"panel":"1","loop":"1","volts":24,"limit_ma":400}`, `{"panel":"1","loop":"1","volts":-24}`)
	case "area":
		return pick(t.rng, `{"area":"Hall","floor":"0","m2":80}`, `{"floor":"0"}`)
	}
	return pick(t.rng, `{"name":"Larch","device":"smoke","bands":[{"low":20,"high":40}]}`,
		`{"name":"Larch","device":"call point"}`, `{"name":"Unknown","device":"smoke"}`, `{"device":"smoke"}`)
}

// setup are bodies about where points are and what they are.
func (t *teller) setup(kind string) string {
	typ := pick(t.rng, t.story.Types...).Name
	place := fmt.Sprintf(`"panel":"1","loop":"1","order":%d,"zone":%q,"area":%q,"location":"moved"`,
		1+t.rng.IntN(9), pick(t.rng, "1", "2"), pick(t.rng, "Hall", "Kitchen"))
	switch kind {
	case "fitted":
		return "{" + place + fmt.Sprintf(`,"type":%q}`, typ)
	case "moved":
		return "{" + place + "}"
	case "addressed":
		return pick(t.rng, `{"wanted":7}`, `{"found":8}`, `{"wanted":7,"found":7}`, `{"found":500}`, `{"wanted":-1}`)
	case "set":
		return pick(t.rng, `{"wanted":{"mode":"high"}}`, `{"found":{"mode":"low"}}`)
	case "replaced":
		return pick(t.rng, `{}`, `{"serial":"S1","text":"old one damaged"}`, fmt.Sprintf(`{"type":%q}`, typ))
	case "changed":
		return fmt.Sprintf(`{"text":"another program","points":["@point:%d"]}`, t.point())
	}
	return `{"text":"wall taken down"}`
}

// working are bodies of a working day.
func (t *teller) working(kind string) string {
	switch kind {
	case "read":
		return pick(t.rng, `{"samples":[25,26,25]}`, `{"samples":[43]}`, `{"samples":[24.9]}`, `{"samples":[25],"remark":"dusty"}`, `{"samples":[]}`)
	case "tested":
		return pick(t.rng, `{}`, `{}`, `{"text":"all well"}`, `{"failed":true}`, `{"failed":true,"text":"no alarm"}`)
	case "alarm":
		return pick(t.rng, `{}`, `{}`, `{"cause":"cooking"}`, `{"category":"test"}`, `{"category":"unwanted","cause":"steam","attended":true}`,
			`{"category":"fire"}`, `{"cause":"test"}`, `{"text":"dust"}`, `{"category":"nonsense"}`)
	case "fault":
		return pick(t.rng, `{"cause":"base cracked"}`, `{"cause":"base cracked"}`, `{"cause":"no answer","text":"since morning"}`, `{}`)
	case "disabled":
		return pick(t.rng, `{"cause":"works","text":"painting"}`, `{}`)
	case "visit":
		return t.visit()
	case "note":
		return pick(t.rng, `{"text":"key at the desk"}`, `{"text":"asked","answers":"nobody-asked-this"}`, `{}`)
	case "issued":
		return pick(t.rng, `{"paper":"visit","day":"2026-01-15","code":"AAAA-BBBB-CCCC-DDDD","content":"x","heads":[]}`, `{}`)
	case "pinned":
		return `{"heads":[],"why":"a backup"}`
	}
	return pick(t.rng, `{}`, `{"text":"as it should be"}`)
}

// visit is the beginning or the end of an attendance.
func (t *teller) visit() string {
	if t.rng.IntN(2) == 0 {
		return pick(t.rng, `{"state":"closed","left":"normal"}`, `{"state":"closed","text":"loft next time","left":"not normal","standing":["sounders"]}`,
			`{"state":"closed","left":"normal","next":"2026-02-01"}`, `{"state":"gone"}`)
	}
	var round []string
	for range 1 + t.rng.IntN(4) {
		if p := fmt.Sprintf(`"@point:%d"`, t.point()); !slices.Contains(round, p) {
			round = append(round, p)
		}
	}
	confirmed := pick(t.rng, `["responsible","monitoring","outputs","disabled"]`, `["responsible"]`)
	return fmt.Sprintf(`{"state":"opened","confirmed":%s,"minutes":60,"round":[%s]}`, confirmed, strings.Join(round, ","))
}

// mending are bodies about a defect.
func (t *teller) mending(kind string) string {
	if kind == "defect" {
		return fmt.Sprintf(`{"nature":%q,"grade":%q,"text":"seen from the ladder"}`,
			pick(t.rng, "fault", "damage", "obstruction", "wrong device", "missing device", "reported", "other", "nonsense"),
			pick(t.rng, "minor", "serious", "critical"))
	}
	of := t.opening()
	switch kind {
	case "followed":
		return fmt.Sprintf(`{"defect":"@act:%d","told":"the responsible person","agreed":"next week","by_day":"2026-02-01"}`, of)
	case "mended":
		return fmt.Sprintf(`{"defect":"@act:%d","text":"put right"}`, of)
	}
	return fmt.Sprintf(pick(t.rng, `{"defect":"@act:%d"}`, `{"defect":"@act:%d"}`, `{"defect":"@act:%d","failed":true}`), of)
}

// opening chooses an act that opens a defect, where there is one; else, or rarely, any act, or none.
func (t *teller) opening() int {
	var at []int
	for i, a := range t.story.Acts {
		if a.What == "write" && opens(fact{kind: a.Kind, body: a.Body}) {
			at = append(at, i)
		}
	}
	n := len(t.story.Acts)
	if len(at) == 0 || t.rng.IntN(12) == 0 {
		return t.rng.IntN(n+2) - 1
	}
	return at[t.rng.IntN(len(at))]
}
