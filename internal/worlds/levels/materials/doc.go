// Package materials is a world of ageing and failure. The electronics of a head age with the heat of its
// room, up or down, alike within a batch; what settles in its chamber waits, then runs away, or fills up and
// stays. Damp makes some heads unsteady, some outputs freeze, builders raise dust in one area over days, and
// the people who keep the book slip, forget, swap heads and half clean them.
//
// Everything that moves a level is reckoned in shares of the way from a clean, new head of the type at its
// rest (0) to the edge of the band towards which dirt moves it (1), and shown on the scale of the type at
// the end. Constants without a source beside them are ours: chosen so that sites look like what technicians
// tell of, fitted to nothing.
package materials
