// Package jobs plays whole jobs in a browser as a person plays them, by what stands on the screen: roles and
// accessible names as the browser computes them, never an address, an id or a class. It was written without sight of
// the pages and imports nothing of this module: it is handed a program to start and a folder to work in.
//
// Where a step finds nothing on the screen to press, a stumble is written down: the step, the words that were looked
// for, and what was there instead. The rest of the job then goes on from a book that was brought to that point on the
// command line, so that one gap does not hide the next.
package jobs
