// Package worlds holds what scores the program from outside: a recount of a log by other code, tables of
// what is right, tamperings, and random sequences of acts. It was written from the written definitions
// (docs/formats/log.md, docs/methods/counting.md) without sight of the engines, and imports none of them, so
// that one mistake cannot sit on both sides of a comparison.
package worlds
