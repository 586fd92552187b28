// Package hunts plants faults on loops and plays the technician who looks for them with a meter, a screwdriver and the
// panel's list of who answers; it scores whoever says the next step by whether the fault is found and by the minutes.
// It was written without sight of the engine and imports nothing of the program.
//
// What a step can tell:
//
//   - Who answers: with a break in stretch b, OUT reaches the devices before it and IN those behind; a short takes what
//     lies between the isolators next to it (facts of the trade: half-splitting, and the counting of isolators).
//   - The volts at a device are the ladder's: the current of what lies behind, times the ohms up to it, both cores.
//   - Ohms between two cores of a piece without volts: the cable up to the fault, both cores, and the fault's own.
//   - With the supply off an isolator lets no meter through in its plus core; a device is 100 kilohms between the cores.
//     Common practice, no source: chosen so that devices may stay in.
//   - Panels tell of a break, a short, an earth fault, two devices at one number, who is missing, too much current, and
//     too many ohms round the loop. Common practice, no source.
//
// Minutes and the rates of misreading are common practice, no source; they are constants in one place (minutes.go).
package hunts
