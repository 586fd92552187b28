// Package circuit solves a detection loop as the direct-current network that it is, healthy and under
// faults, and sizes the battery behind it.
//
// A [Loop] is written down as a technician walks it: the panel's two ends, the points in cable order with
// the cable that leads to each, spurs, and isolators. [New] checks it and makes a [Circuit], which answers:
//
//   - one state: [Circuit.Solve], exact for constant current, resistance and power, with both cores solved
//     apart; past the limit of constant power it says that there is no operating point;
//   - every single fault, and pairs: [Circuit.Survey], or given ones, [Circuit.Under], each with the alarms placed
//     where they hurt most; [Circuit.Hardest] when only the worst single fault matters;
//   - what is lost with a fault: [Circuit.Lost], against editable [Rule] sets;
//   - what a person wants to know: [Circuit.Margin], [Circuit.Restart], [Loop.Room], [Loop.Stretch],
//     [Loop.CrossSection], [Loop.NextIsolator];
//   - the voltage along the loop as data for a drawing: [Circuit.Profile].
//
// A [Draft] is a loop with gaps, as a register or a what-if file gives it; filling them counts them, and one may be
// laid over another.
//
// Fault finding needs no solution: [Circuit.LocateShort], [Circuit.LocateBreak], and [Circuit.LocateEarth] by the
// bridges [Murray], [Varley] and [Blavier]. The battery is sized by [Size] under a [StandbyRule].
//
// Every solution costs time in proportion to the number of points. Formulas, assumptions, sources, what is
// exact and what is bounded: docs/methods/circuit.md and docs/methods/standby.md.
package circuit
