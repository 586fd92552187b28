// Package exchange brings the logs of two books together without sending what both have.
// Each side says in a vector which ranges of numbers it holds of each station, and gets
// the lines that it lacks. Nothing else passes between them: one kind of parcel, carried
// on a stick or answered by a server, in either direction, as often as anybody likes.
//
//	vector.go  which ranges a side holds, and which lines of ours it lacks
//	run.go     lines without their hashes, and how they are made and checked again
//	batch.go   in which order lines of several stations go, cut into batches
//	parcel.go  what is handed over, as text and packed
//
// The room knows no book, no file and no network. docs/formats/exchange.md describes the
// parcel, docs/decisions/016-exchange.md says why it is so.
package exchange
