// Package locks takes the locks by which programs on one machine keep out of each other's way: whole files, by
// advice, until the file is closed. It is what differs from system to system.
package locks

import "errors"

// ErrHeld tells that another has the lock.
var ErrHeld = errors.New("the lock is held")

// How says which lock is taken.
type How int

// The locks. With Wait, it is waited for; else ErrHeld is given where another holds it.
const (
	Shared    How = 0 // with all others who share it
	Exclusive How = 1 // alone
	Wait      How = 2
)
