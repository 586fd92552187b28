// Package demo makes an invented site and six years of its life, as the listing
// files that a technician would hand over, together with what is truly the
// matter there.
//
// Everything in it is invented: the place, the types of device, their scale and
// bands, the dirt. No figure comes from a real device. The scale is ours too: a
// detector rests at some tens of counts, in clean air near the lower third of
// its band, and rises as dirt settles in it; a gas cell falls as it ages.
//
// [Make] is a function of its seed and of the day on which it ends: the same
// two give the same bytes, workbooks included (on one build of the program; no
// promise is made across processors, whose last digits may round differently).
//
// docs/demo.md is the page for people; a test holds its tables against this
// package.
package demo
