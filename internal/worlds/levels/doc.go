// Package levels says what a world of detectors is, and scores what a judge answers about one. A world
// draws sites from a seed: the log book as technicians would have kept it, and beside it what truly was,
// which no judge sees. Each world is a folder of its own below this one, written by a mind that had not
// seen the engine that it scores; this package and the worlds import the vocabulary alone.
package levels
