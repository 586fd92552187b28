package sootline

import "strconv"

// KindName names a kind of entry as one would say it in a list: the kind itself is a word of files and commands.
// A kind that has no name here is named by itself.
func KindName(kind Kind) string {
	if name, ok := kindNames()[kind]; ok {
		return name
	}
	return string(kind)
}

func kindNames() map[Kind]string {
	return map[Kind]string{
		ReadKind: "reading", CleanedKind: "cleaning", ReplacedKind: "replacement", TestedKind: "function test",
		UnreachedKind: "not reached", RebasedKind: "clean value set anew", DefectKind: "defect", FaultKind: "fault shown",
		FollowedKind: "defect followed up", MendedKind: "defect mended", RetestedKind: "defect tried again",
		DisabledKind: "disabled", RestoredKind: "back in use", AlarmKind: "fire alarm", NoteKind: "remark",
		AddressedKind: "number", SetKind: "settings", WishKind: "settings wanted", ChangedKind: "configuration changed",
		FittedKind: "device in place", MovedKind: "moved or described anew", RemovedKind: "removed", VisitKind: "visit",
		BenchKind: "bench run", BenchedKind: "device at the bench", OpenedKind: "facts of the site",
		ServiceKind: "visit rules", LoopKind: "loop", AreaKind: "area", SupplyKind: "loop supply and cable",
		LoadsKind: "load list", RadialKind: "radial circuit", MeasuredKind: "measured of a loop", SheetKind: "type sheet", AliasKind: "spelling", SourceKind: "panel's printout learned",
		TakenKind: "listing taken in", IssuedKind: "paper issued", PinnedKind: "ends of other logs",
		CorrectedKind: "correction", WithdrawnKind: "taken back",
	}
}

// KindCount counts entries of a kind in words, as 1 reading or 327 numbers.
func KindCount(n int, kind Kind) string { return strconv.Itoa(n) + " " + KindNameOf(n, kind) }

// KindNameOf names n entries of a kind, as reading or readings.
func KindNameOf(n int, kind Kind) string {
	name := KindName(kind)
	if n == 1 {
		return name
	}
	if many, odd := manyNames()[kind]; odd {
		return many
	}
	return name + "s"
}

// manyNames are those names of several that are more than the name with an s.
func manyNames() map[Kind]string {
	return map[Kind]string{
		UnreachedKind: "not reached", RebasedKind: "clean values set anew", FaultKind: "faults shown",
		FollowedKind: "defects followed up", MendedKind: "defects mended", RetestedKind: "defects tried again",
		DisabledKind: "disabled", RestoredKind: "back in use", SetKind: "settings", WishKind: "settings wanted",
		ChangedKind: "configurations changed", FittedKind: "devices in place", MovedKind: "moved or described anew",
		RemovedKind: "removed", BenchedKind: "devices at the bench", OpenedKind: "facts of the site", ServiceKind: "visit rules",
		SupplyKind: "supplies and cables of loops", MeasuredKind: "measured of loops", SourceKind: "panels' printouts learned",
		TakenKind: "listings taken in", IssuedKind: "papers issued", PinnedKind: "ends of other logs", WithdrawnKind: "taken back",
	}
}
