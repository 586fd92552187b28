// Package fault leads a technician to what is wrong on a loop, a step at a time.
//
// A [Ring] is the loop as it is written down. A [Search] holds every [Cause]: a kind of fault at a stretch of cable or at a
// device. Each [Answer] to a [Step] weighs the causes by how well they foretell it: who answers, what the panel says, the
// current of each end, volts, ohms. What nobody knows exactly (ohms of the cable, currents of the devices, where along
// its stretch a fault lies and how strong it is, how far the meter is off) is carried for each cause as a normal
// distribution, and narrowed by each reading. An answer may be misread.
//
// [Search.Next] gives the step that tells most for its minutes, or the verdict: where it is and how sure, once no step is
// worth its minutes against the second visit that a wrong verdict costs. Where no cause foretells the answers, it says so.
//
// Devices stay in. Steps are those that a multimeter, a screwdriver and the panel's list allow. Formulas, assumptions, what
// has a source and what is common practice: docs/methods/finding.md.
package fault
