package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
)

// sayFlags are what an entry made by hand says, as flags or as JSON. There is a
// flag for each field of the kinds that the command is about.
type sayFlags struct {
	at, point, body string
	sure            bool
	said            map[string]*saidFlag // by key
}

// saidFlag is the flag of a key. One that is given again adds to what may have
// several parts.
type saidFlag struct {
	flag  bool // it says yes, or no
	texts []string
}

// String gives what was given.
func (f *saidFlag) String() string { return strings.Join(f.texts, " ") }

// Set takes what was given.
func (f *saidFlag) Set(text string) error {
	if f.flag {
		yes, err := strconv.ParseBool(text)
		if err != nil {
			return err
		}
		if text = ""; yes {
			text = "yes"
		}
	}
	f.texts = append(f.texts, text)
	return nil
}

// Type is what the help says behind the name of the flag.
func (f *saidFlag) Type() string {
	if f.flag {
		return "bool"
	}
	return "string"
}

// parts gives what was given, settings with commas between them one by one.
func (f *saidFlag) parts(field sootline.Field) []string {
	if field.Input != sootline.SettingsInput {
		return f.texts
	}
	var parts []string
	for _, text := range f.texts {
		several := strings.Split(text, ",")
		if strings.HasPrefix(text, "{") || slices.ContainsFunc(several, func(part string) bool { return !strings.Contains(part, "=") }) {
			several = []string{text}
		}
		parts = append(parts, several...)
	}
	return parts
}

// add adds the flags of some kinds.
func (f *sayFlags) add(cmd *cobra.Command, kinds ...sootline.Kind) {
	flags := cmd.Flags()
	f.addWhen(cmd)
	flags.StringVar(&f.point, "point", "", "the point, for example 1.2.073")
	flags.StringVar(&f.body, "body", "", "what the entry says, as JSON (docs/formats/log.md)")
	f.addFields(flags, kinds...)
	f.addOtherNames(flags, kinds)
}

// addWhen adds what every entry made by hand is asked.
func (f *sayFlags) addWhen(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.at, "at", "", "when it happened, as 2026-01-15 or 2026-01-15T09:30, on the site's clock (default now)")
	cmd.Flags().BoolVar(&f.sure, "sure", false, sureHelp)
}

// addFields adds a flag for each field of some kinds: each key once.
func (f *sayFlags) addFields(flags *pflag.FlagSet, kinds ...sootline.Kind) {
	f.said = map[string]*saidFlag{}
	of := map[string][]string{}
	for _, kind := range kinds {
		for _, field := range sootline.FieldsOf(kind) {
			of[field.Key] = append(of[field.Key], string(kind))
		}
	}
	for _, kind := range kinds {
		for _, field := range sootline.FieldsOf(kind) {
			switch {
			case f.said[field.Key] != nil:
			case len(kinds) == 1:
				f.addField(flags, field, fieldUsage(field))
			default:
				f.addField(flags, field, "of "+strings.Join(of[field.Key], ", "))
			}
		}
	}
}

// addOtherNames adds the second names that some flags have.
func (f *sayFlags) addOtherNames(flags *pflag.FlagSet, kinds []sootline.Kind) {
	if slices.Contains(kinds, sootline.ReadKind) {
		flags.Var(f.said["samples"], "value", "samples of a reading, as --samples")
		if f.said["text"] == nil {
			flags.Var(f.said["remark"], "text", "in words, as --remark")
		}
	}
	if slices.Contains(kinds, sootline.SetKind) {
		flags.Var(f.said["wanted"], "setting", "settings wanted, as --wanted")
	}
}

// addField adds the flag of a field.
func (f *sayFlags) addField(flags *pflag.FlagSet, field sootline.Field, usage string) {
	said := &saidFlag{flag: field.Input == sootline.FlagInput || field.Input == sootline.OutcomeInput}
	f.said[field.Key] = said
	flag := flags.VarPF(said, flagOf(field.Key), "", usage)
	if said.flag {
		flag.NoOptDefVal = "true"
	}
}

// flagOf is the name of the flag of a key.
func flagOf(key string) string { return strings.ReplaceAll(key, "_", "-") }

// fieldUsage tells what a field takes.
func fieldUsage(field sootline.Field) string {
	usage := field.Label
	switch field.Input {
	case sootline.OutcomeInput:
		return "it did NOT pass; left out, the command says that it passed"
	case sootline.SamplesInput:
		usage += ", with spaces between them as in \"25 26 25.5\", or given again for each"
	case sootline.SettingsInput:
		usage += ", as name=choice; given again for each"
	case sootline.LinesInput:
		usage += "; given again for each"
	case sootline.DayInput:
		usage += ", as 2026-01-15"
	case sootline.PlainInput:
		usage += ", as JSON (docs/formats/log.md)"
	}
	for i, choice := range field.Choices {
		usage += map[bool]string{true: ": ", false: "; "}[i == 0] + choiceUsage(choice)
	}
	if field.Needed {
		usage += " (needed)"
	}
	return usage
}

// choiceUsage tells a choice once where its words begin with it.
func choiceUsage(choice sootline.Choice) string {
	if choice.Says == choice.Value || strings.HasPrefix(choice.Says, choice.Value+":") {
		return choice.Says
	}
	return choice.Value + ": " + choice.Says
}

// say makes the body of an entry of what the flags say over what the form said
// before. A flag that the kind has no use for is a mistake and not silence.
func (f *sayFlags) say(kind sootline.Kind, form sootline.Form) (sootline.Body, error) {
	if f.body != "" {
		return sootline.DecodeBody(kind, []byte(f.body))
	}
	fields := sootline.FieldsOf(kind)
	for key, said := range f.said {
		if len(said.texts) == 0 {
			continue
		}
		at := slices.IndexFunc(fields, func(field sootline.Field) bool { return field.Key == key })
		if key == "text" && at < 0 { // a reading calls its words a remark
			key, at = "remark", slices.IndexFunc(fields, func(field sootline.Field) bool { return field.Key == "remark" })
		}
		if at < 0 {
			return nil, usageError{fmt.Errorf("an entry of kind %s has no use for --%s; see `sootline log add %s --help`", kind, flagOf(key), kind)}
		}
		if parts := slices.Compact(slices.Clone(said.texts)); len(parts) > 1 && !fields[at].Several() {
			return nil, usageError{fmt.Errorf("--%s is given twice, and says %q and %q: give it once", flagOf(key), parts[0], parts[1])}
		}
		form[key] = fields[at].Joined(said.parts(fields[at]))
		if fields[at].Input == sootline.OutcomeInput {
			form[key] = map[string]string{"yes": sootline.FailedOutcome}[form[key]]
		}
	}
	for _, field := range fields {
		if field.Input == sootline.OutcomeInput && form[field.Key] == "" {
			form[field.Key] = sootline.PassedOutcome
		}
	}
	return sootline.BodyOf(kind, form)
}

// sureHelp explains the flag by which whoever is certain says so.
const sureHelp = "it is so, although it may look like a slip"

// when reads --at on the site's clock; empty gives the zero time, which is now.
func (f *sayFlags) when(zone *time.Location) (sootline.Moment, error) {
	if f.at == "" {
		return sootline.Moment{}, nil
	}
	return sootline.ParseMoment(f.at, zone)
}
