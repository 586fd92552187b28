// Package design lays loops through a building before there is a register: from areas with what they want, or from the
// places of a drawing, to loops in the order of their cable, with the metres of each stretch.
//
//   - [Building.Places] puts the devices of an area on a grid where nobody says where they stand;
//   - [Building.Metres] is the cable between two places, along the walls and through a riser;
//   - [Building.Loops] finds short loops: so many as are wanted, none with more numbers than it may hold.
//
// What is chosen, its reasons and how far the cable is from that of a longer search: docs/methods/design.md. Whether a
// loop works is not asked here.
package design
