// Package judge turns the readings of a register into verdicts, chances, days and what to do, each with its reason in
// words and the entries that it rests on. Under all of it lies one model of a detector's level:
//
//	looks.go     readings -> one value a day, cut at recorded resets
//	scale.go     values -> shares of the band, turned so that dirt leads upwards
//	bank.go      the paths a level may take: rates and shapes; what is believed of them before anything is read
//	kin.go       what a type teaches: noise, where units rest; rescale.go a change of its scale
//	season.go    what goes up and down with the year at a point
//	offsets.go   what the looks of one visit share; habit.go how often a site cleans without a note
//	filter.go    one story of a point: each path as the looks leave it
//	events.go    the other stories that a look may tell; slips.go what may have been meant by it
//	works.go     what a whole room did at once
//	onescale.go  all readings on one scale, where a type changed it
//	learn.go     the walk through the looks, and what all points teach of the paths; area.go those of one room
//	model.go     all of that for a register
//	ahead.go     the posterior: chance on any day, days, drift, what happened
//
// From that posterior alone:
//
//	judge.go     a judgement; outlook.go its chances, drift and days; band.go the plain fact of the last reading
//	action.go    what to do and in which words: a table of rules, of which the first that holds decides, by the losses of the site
//	worn.go      what dirt does not explain; sudden.go a last look that came at once
//	reasons.go   what is said beside the deciding reason; drift_words.go of drifts and steps
//	question.go  what to ask people; asks.go of one point, asks_shared.go of many at once
//	story.go     the path of one point, for a picture; expect.go what the next look should show
//	peers.go, cleaning.go, glance.go   how points compare, what cleaning achieved, the site on one page
//
// Values are in the unit of the type sheet, drifts in that unit a year, chances and margins are shares of 1. No number
// in a [Judgement] is NaN or infinite. Formulas, sources, limits and outside checks are in docs/methods/judging.md.
package judge
