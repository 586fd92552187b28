package main

import (
	"slices"
	"strings"

	"sootline"
)

// wayCommand is the command that does a use case: its words, then its arguments,
// in the order of what the way out is given.
type wayCommand struct {
	words     string
	arguments []wayArgument
}

// wayArgument is an argument, or a flag with its value. Where nothing is given
// its holder stands there; where there is no holder either, it is left out.
type wayArgument struct{ flag, holder string }

// wayCommands is the one table from use cases to command lines. [sootline.Give]
// is not in it: it is a flag of the command that was given.
func wayCommands() map[sootline.Use]wayCommand {
	arguments := func(holders ...string) (all []wayArgument) {
		for _, holder := range holders {
			all = append(all, wayArgument{holder: holder})
		}
		return all
	}
	return map[sootline.Use]wayCommand{
		sootline.AddSite:          {"site add", arguments("NAME")},
		sootline.ListSites:        {"site list", nil},
		sootline.RenameSite:       {"site rules", []wayArgument{{"--site", "ID"}, {"--name", "NAME"}}},
		sootline.ShowSite:         {"site show", nil},
		sootline.StateLoop:        {"site loop", arguments("LOOP")},
		sootline.StateFacts:       {"site facts", nil},
		sootline.StateLoads:       {"standby loads", arguments("PANEL")},
		sootline.MakeDemo:         {"demo", nil},
		sootline.TakeListings:     {"take", arguments("FILE")},
		sootline.ListTakes:        {"take list", nil},
		sootline.UndoTake:         {"take undo", arguments("TAKE")},
		sootline.ListAliases:      {"take alias", nil},
		sootline.CheckSite:        {"check --json", nil},
		sootline.PlanNumbers:      {"address plan", arguments("LOOP")},
		sootline.NoteNumber:       {"address set", arguments("POINT", "NUMBER")},
		sootline.ReadDevice:       {"address read", arguments("POINT", "NUMBER")},
		sootline.ListSettings:     {"address settings", arguments("LOOP")},
		sootline.ListPoints:       {"judge --csv", nil},
		sootline.SayHowSet:        {"address how", arguments("TYPE", "WAY")},
		sootline.ListQuestions:    {"ask", nil},
		sootline.ListStandbyRules: {"standby --rules", nil},
		sootline.ReadLog:          {"log", nil},
		sootline.AddEntry:         {"log add", []wayArgument{{"", "KIND"}, {"--point", ""}}},
		sootline.ListKinds:        {"log add --help", nil},
		sootline.CorrectEntry:     {"log correct", arguments("ENTRY")},
		sootline.WithdrawEntry:    {"log withdraw", arguments("ENTRY")},
		sootline.SettleFact:       {"log settle", arguments("ENTRY")},
		sootline.ExportLog:        {"log export", nil},
		sootline.ExportReadable:   {"log export --readable", arguments("FILE")},
		sootline.VerifyLog:        {"log verify", nil},
		sootline.RestoreBackup:    {"book restore", arguments("BACKUP")},
		sootline.RebuildIndex:     {"book index", arguments()},
		sootline.MakeHeads:        {"book heads", arguments()},
		sootline.OpenVisit:        {"visit open", []wayArgument{{"--minutes", "240"}}},
		sootline.CloseVisit:       {"visit close", nil},
		sootline.WalkVisit:        {"visit walk", nil},
		sootline.ListSources:      {"listen status", nil},
		sootline.TeachSource:      {"listen teach", arguments("NAME")},
		sootline.OpenBench:        {"bench begin", nil},
		sootline.BenchDevice:      {"bench done", nil},
		sootline.ShowBench:        {"bench show", nil},
		sootline.UndoBench:        {"bench undo", []wayArgument{{"--run", ""}}},
		sootline.ReopenBench:      {"bench reopen", []wayArgument{{"--run", ""}}},
		sootline.ListDefects:      {"defect", []wayArgument{{"--all --point", ""}}},
		sootline.StepDefect:       {"defect show", arguments("ID")},
	}
}

// line writes the command line with what it is given.
func (c wayCommand) line(with []string) string {
	words := []string{"sootline", c.words}
	for i, a := range c.arguments {
		value := a.holder
		if i < len(with) {
			value = shellWord(with[i])
		}
		if value != "" {
			words = append(words, strings.TrimSpace(a.flag+" "+value))
		}
	}
	return strings.Join(words, " ")
}

// inWords words ways out for the terminal: what to do, and the command for it.
func inWords(ways sootline.Ways) string {
	texts := make([]string, len(ways))
	commands := wayCommands()
	for i, w := range ways {
		texts[i] = w.Text
		if w.Use == sootline.Give {
			texts[i] += ": --" + given(w.With)
		} else if command, ok := commands[w.Use]; ok {
			texts[i] += ": `" + command.line(w.With) + "`"
		}
	}
	return strings.Join(texts, "; ")
}

// given writes a flag with its value as a shell takes it.
func given(with []string) string {
	words := slices.Clone(with)
	for i := 1; i < len(words); i++ {
		words[i] = shellWord(words[i])
	}
	return strings.Join(words, " ")
}
