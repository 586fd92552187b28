// Package drafts gives buildings for which loops are to be designed before there is a register, and scores a design:
// is every device on a loop, how long is the cable beside what a long search finds, are the rules of the site kept, and
// is no state to be found in which a device has too few volts. It was written without sight of the engine; of the
// program it imports nothing but the world of loops.
//
// The definitions, chosen, no source:
//
//   - Of an area its rectangle and its counts are known. Its devices stand in it on a grid, row by row, to and fro: see
//     [Building.Places]. Whoever plans from counts alone is held against the same places.
//   - Cable runs along the walls: between two places of a floor across and along; between floors through the riser that
//     makes it shortest, a storey up or down being its height. Each device takes [Slack] metres besides.
//   - A loop begins and ends at the panel. Joints and spurs are not drafted.
package drafts
