// Package address is about the numbers of a loop. Every device on a loop
// answers to a number of its own, a wide one to several in a row.
//
// [Check] says what is wrong with the numbers on a register. The rest takes
// plain data, so that it can be used without a register; [Loops] makes that
// data of one:
//
//   - [Span] and [Setter]: the rules of a loop, and how a number is set;
//   - [Fits] and [Plan]: whether the devices fit, and a number for each;
//   - [Cards]: what to set on a device, drawn for the terminal;
//   - [Explain]: what a list of what answers tells about mistakes made;
//   - [ChangeOrder]: from the numbers as they are to those wanted, so that no
//     two devices ever share one;
//   - [SearchOne] and [SearchTwo]: which place to open next to find a device;
//   - [Differences]: settings wanted and found.
//
// Numbers are plain counts without unit. Methods, bounds and sources are in
// docs/methods/numbers.md; those of Check in docs/methods/checks.md.
package address
