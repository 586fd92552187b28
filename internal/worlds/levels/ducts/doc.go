// Package ducts is a world of particle counts. Each room has a source of dust whose strength follows what
// people do in it: shifts, the harvest, the heating season. The share that reaches a chamber comes in
// gamma-distributed lumps and in bursts that a whole room gets; part of it lies loose and falls off again,
// by itself or when the air stirs, the rest cakes. What lies in the chamber becomes a level through the
// response of the type: in proportion, saturating, catching dust the faster the dirtier it is, or hidden by
// compensation until its reserve is used and then running. Cells age instead.
//
// Amounts of dust are counted in rooms of the band: 1 moves a level of a proportional type from where it
// rests to the limit. All figures are ours, chosen so that an office fills a band in about ten years and a
// duct in four, and that about one point in twelve is outside by the next visit; they are not measured
// anywhere. Where one has a source it stands beside it.
//
// The season is in the level here: dust that lies loose after the harvest has really fallen off in spring,
// and the film of moist summers is really there. Of what was once outside and came back, Leaves speaks of
// the next time.
package ducts
