package main

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"github.com/spf13/cobra"

	"sootline"
)

// What a kind says, typed as flags, is read as the same: each key of each kind
// has its flag, under the kind's own command and where an entry is corrected.
func TestFlagsSayWhatFormsSay(t *testing.T) {
	var kinds []sootline.Kind
	for _, kind := range addable() {
		kinds = append(kinds, kind.Kind)
	}
	for kind, raw := range map[sootline.Kind]string{
		"read": `{"samples":[25,26.5],"quantity":"share","remark":"two\nlines"}`, "tested": `{"failed":true,"text":"no lamp"}`,
		"alarm": `{"category":"good intent","cause":"steam","text":"x","attended":true}`, "addressed": `{"wanted":7,"listed":6,"found":8,"set":8,"how":"panel","text":"odd"}`,
		"wanted": `{"area":"Hall","settings":{"blink":"off","tone":""},"reason":"guests"}`,
		"set":    `{"wanted":{"blink":"off","sense":"high, low"},"found":{"blink":"on"}}`, "replaced": `{"type":"Larch","serial":" A=1 ","batch":"7"}`,
		"moved":   `{"panel":"1","loop":"1","metres":12.5,"x":1.5,"y":2.5}`,
		"visit":   `{"state":"opened","confirmed":["a, b","c"],"minutes":60}`,
		"sheet":   `{"name":"Larch","bands":[{"low":20,"high":60}],"settings":{"blink":"on/off"}}`,
		"service": `{"minutes":{"test":3},"order":["Hall, left","Yard"]}`,
		"defect":  `{"nature":"damage","grade":"serious","text":"cracked"}`,
	} {
		body, err := sootline.DecodeBody(kind, []byte(raw))
		if err != nil {
			t.Fatal(err)
		}
		form, err := sootline.FormOf(body)
		if err != nil {
			t.Fatal(err)
		}
		for _, of := range [][]sootline.Kind{{kind}, kinds} {
			var flags sayFlags
			cmd := &cobra.Command{}
			flags.add(cmd, of...)
			var args []string
			for _, key := range slices.Sorted(maps.Keys(form)) {
				switch form[key] {
				case "yes", sootline.FailedOutcome:
					args = append(args, "--"+flagOf(key))
				case sootline.PassedOutcome: // said by leaving the flag out
				default:
					args = append(args, "--"+flagOf(key)+"="+form[key])
				}
			}
			if err := cmd.ParseFlags(args); err != nil {
				t.Fatal(kind, args, err)
			}
			again, err := flags.say(kind, sootline.Form{})
			if err != nil {
				t.Fatalf("%s %q: %v", kind, args, err)
			}
			one, err1 := json.Marshal(body)
			two, err2 := json.Marshal(again)
			if string(one) != string(two) || err1 != nil || err2 != nil {
				t.Errorf("%s became %s", one, two)
			}
		}
	}
}
