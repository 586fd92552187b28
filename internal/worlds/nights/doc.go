// Package nights draws a year of values read every night at a thousand points, with the levels that they truly had, so that
// what is kept of them can be weighed: how many, what they tell of the levels, which changes they miss. [Draw] invents
// points of its own; [Of] reads the points of a world of levels every night, for a judge that is given more than the
// visits saw.
//
// Noise, steps of the display, losses and the odd value that is none are ours, drawn for variety, no source.
package nights
