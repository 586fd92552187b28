// Package judge turns the readings of a point into a verdict, a drift, the days
// by which it may leave its band, and what to do about it, each with its reason
// in words and the entries that it rests on.
//
// [Site] judges every point of a register. For a point it goes through the
// steps of one file each:
//
//	visits.go      readings -> one value a visit, cut at recorded resets
//	survey.go      what all points show: steps that nobody wrote down, slips, values that never move
//	history.go     the visits since a drift last started afresh, and the runs before
//	band.go        the latest value against the band: verdict and margin
//	experience.go  what all points of a type teach: their noise; slopes.go their slopes by area
//	again.go       how a point drifted before its last reset; season.go the swing of the year
//	outlook.go     the line through the visits, with the help of others where it is worth it
//	path.go        where line, bend and season lead, and when
//	drift.go       what that line says of the drift, and whether it is real
//	leaving.go     when it leaves the band, and the chance that it soon does
//	steady.go      whether the value can be trusted at all; within.go within one visit
//	alarm.go       how far it has drifted towards its alarm level
//	story.go       the path of one point, for a picture
//	quantities.go  what else was read, judged alike; which way dirt moves a value
//	action.go      what to do: a list of rules, of which the first that holds decides
//	reasons.go     what is said beside the deciding reason
//
// Values are in the unit of the type sheet, drifts in that unit a year, chances
// and margins are shares of 1. No number in a [Judgement] is NaN or infinite.
// Formulas, sources, limits and outside checks are in docs/methods/judging.md and
// docs/methods/forecast.md.
package judge
