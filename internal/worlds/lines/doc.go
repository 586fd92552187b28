// Package lines draws what invented panels print, and scores whoever reads it after three marked examples. Twenty styles,
// unlike each other and nobody's, were written from the words of the task alone, without sight of a reader; the package
// imports nothing of the program.
//
// A [World] is one style with one site: what was heard before, three examples with spans of bytes marked as a person
// would mark them, and later lines with the truth of each. [Play] hands them to a [Learner] as bytes with their times of
// arrival and gives a [Score]: right, not understood, wrong. What the truth says of a line is what stands on the paper:
// the panel's own clock, the text as it was cut by a column. [World.Spoil] breaks the wire: noise, halves, merged lines,
// silence, flood, restart in mid-line, the same line twice.
//
// Words of events and months are the languages' own, from memory. Control characters are those of ECMA-48, from memory.
package lines
