// Package bench is the run at the bench: devices are taken out of their box one
// after another, each is given its place and its number, is read back, looked at
// and labelled. A register and what is known of its types in; what is in hand, what
// is to be said of what was typed, and what is left out. It writes nothing, and
// knows neither files nor the clock: the instant is an argument.
//
// The rules are in docs/methods/bench.md. A phone mirrors [Run.Look] without
// network, and is held to it by a test.
package bench
