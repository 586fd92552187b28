// Package listings makes random listings about random sites, with the truth beside each, and scores what an
// intake writes from them. It was written from what people hand over and from what a careful clerk would be
// right to write, without sight of any reader of listings, and imports none, so that one mistake cannot sit on
// both sides of a comparison.
//
// [Make] draws a listing by its seed: a layout, a language, a format, and up to three spoilings. A [Taker] takes
// it in; [Score] compares what it wrote with the truth by meaning, not by shape; [Run] does so for many seeds, and
// [Report] tells the shares. [Cases] are listings written by hand, scored alike.
//
// A fact that the listing states is to be written, or accounted for by a question, a refusal or a sentence. What
// nobody could know without asking is in [Truth.Open], and is not to be written. Hidden parts are to be left out
// and spoken of. Anything else that is written is a misreading.
//
// Limits: a question accounts for everything that is missing, since nobody can tell from its words what it is
// about; remarks are not compared, except where a value is more than its number; times of day are not.
package listings
