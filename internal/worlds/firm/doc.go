// Package firm scores a firm's server from outside: the lists of its sites, the rights
// of its people, and the exchange between its stations. It was written from the
// handbook and the written definitions, without sight of how lists are made.
//
//	draw.go, happen.go   random histories of sites, small and large, over years
//	book.go              a book of any number of such sites, written through the store
//	truth.go             what a site's head must say, by folding its whole log
//	compare.go, play.go  heads held against the truth while the book is written to, days pass,
//	                     writers are killed and heads rebuilt
//	marks.go, kinds.go   two firms of marked sites, and who may see which mark (kinds.csv)
//	leaks.go, doors.go   marks found in an answer that may not be in it, at every route of a door
//	station.go           what exchange asks of a station
//	histories.go         five stations that write apart, and transfers that are cut, doubled, reordered
//	checker.go           whether a station keeps what it holds, and holds nothing else
//	converge.go          whether all come to hold the same, what it cost, and whether every conflict is named
//
// The truth of a head asks the engines (the fold, what is due, what is to be cleaned):
// it finds a head that is not what the engines say of the whole log, and no mistake of
// an engine. Those are held against other code in package worlds. Tests alone import
// this package.
package firm
