// Package listings makes random listings about random sites, with the truth beside each, and scores what an
// intake writes from them. It was written from what people hand over and from what a careful clerk would be
// right to write, without sight of any reader of listings, and imports none, so that one mistake cannot sit on
// both sides of a comparison.
//
// [Make] draws a listing by its seed. A [Taker] takes it in; [Score] compares what it wrote with the truth by
// meaning, not by shape, and [Report] tells the shares. [Cases] are listings written by hand, scored alike.
//
// A fact that the listing states is to be written, or accounted for by a question, a refusal or a sentence. What
// nobody could know without asking is in [Truth.Open], and is not to be written. Anything else that is written
// is a misreading.
package listings
