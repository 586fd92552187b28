// Package nuisance looks at the alarms of a site that were no fire: how many
// there are for so many detectors, whether that is more than the code allows or
// only chance, which points, areas, causes and hours repeat, whether what was
// done about them helped, and what to try next.
//
// [Read] gathers the alarms and the detectors from a register; [Study] makes the
// report. Both are pure. The methods, their sources and limits are in
// docs/methods/alarms.md.
package nuisance
