// Package papers scores papers and plans from outside. It was written from the lists of the standards and from what a
// customer asks, without sight of how papers and plans are made, and imports neither.
//
// Four judges are here. [Fields] holds the text of a paper against the fields that standards list (fields.csv).
// [Story] is an invented site and visit, written through the use cases; [Story.Judge] says which of a customer's
// five questions page one leaves open, and what the report says that was not shown. [World] is a firm's sites and
// technicians; [Check] names every rule that a plan breaks, and [Exact] finds a best plan of a small one. [Leftovers]
// names what is still English in a paper of another language.
package papers
