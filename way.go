package sootline

import "strings"

// Use names a use case that a way out leads to. Each face words it for itself:
// the command line as a command, the pages as a link, the API as this name.
type Use string

// The uses that ways out lead to. The words behind them are their arguments, in
// that order; each may be left out with those after it.
const (
	AddSite          Use = "add-site"           // its name
	ListSites        Use = "list-sites"         //
	RenameSite       Use = "rename-site"        // its id, its name
	ShowSite         Use = "show-site"          //
	StateLoop        Use = "state-loop"         // the loop
	StateFacts       Use = "state-facts"        //
	StateLoads       Use = "state-loads"        // the panel
	MakeDemo         Use = "make-demo"          //
	TakeListings     Use = "take-listings"      // the file
	ListTakes        Use = "list-takes"         //
	UndoTake         Use = "undo-take"          // the take
	ListAliases      Use = "list-aliases"       //
	CheckSite        Use = "check-site"         //
	PlanNumbers      Use = "plan-numbers"       // the loop
	NoteNumber       Use = "note-number"        // the reference of the point, and the number where it is known
	ReadDevice       Use = "read-device"        // the reference of the point
	ListSettings     Use = "list-settings"      // the loop
	ListPoints       Use = "list-points"        //
	SayHowSet        Use = "say-how-set"        // the type, how its number is set
	ListQuestions    Use = "list-questions"     //
	ListStandbyRules Use = "list-standby-rules" //
	ReadLog          Use = "read-log"           //
	AddEntry         Use = "add-entry"          // its kind, the reference of its point
	ListKinds        Use = "list-kinds"         //
	CorrectEntry     Use = "correct-entry"      // its id
	WithdrawEntry    Use = "withdraw-entry"     // its id
	SettleFact       Use = "settle-fact"        // the id of the entry that is to hold
	ExportLog        Use = "export-log"         //
	ExportReadable   Use = "export-readable"    //
	VerifyLog        Use = "verify-log"         //
	RestoreBackup    Use = "restore-backup"     // the backup's file
	RebuildIndex     Use = "rebuild-index"      //
	MakeHeads        Use = "make-heads"         //
	OpenVisit        Use = "open-visit"         // how many minutes
	CloseVisit       Use = "close-visit"        //
	WalkVisit        Use = "walk-visit"         //
	ListSources      Use = "list-sources"       //
	TeachSource      Use = "teach-source"       // the name of the source, the number of a line
	OpenBench        Use = "open-bench"         //
	BenchDevice      Use = "bench-device"       // the run
	ShowBench        Use = "show-bench"         // the run
	UndoBench        Use = "undo-bench"         // the run
	ReopenBench      Use = "reopen-bench"       // the run
	ListDefects      Use = "list-defects"       // the point, for the closed ones there too
	StepDefect       Use = "step-defect"        // the defect
	Give             Use = "give"               // a field of what was asked, its value: ask again with it
)

// Way is a way out of trouble, or what to do about a finding.
type Way struct {
	Text string   // words that hold at every face: no command, no flag
	Use  Use      // the use case that it leads to, or empty
	With []string // what that use case is given
}

// Ways are ways out, the best first.
type Ways []Way

// Out begins ways out with one in words; no words, no way.
func Out(text string) Ways {
	if text == "" {
		return nil
	}
	return Ways{{Text: text}}
}

// Do says which use case the last way leads to.
func (w Ways) Do(use Use, with ...string) Ways {
	if len(w) == 0 {
		return Ways{{Use: use, With: with}}
	}
	w[len(w)-1].Use, w[len(w)-1].With = use, with
	return w
}

// Or adds another way.
func (w Ways) Or(text string) Ways { return append(w, Way{Text: text}) }

// String gives the words of all ways.
func (w Ways) String() string {
	texts := make([]string, len(w))
	for i := range w {
		texts[i] = w[i].Text
	}
	return strings.Join(texts, "; ")
}
