package sootline

import (
	"fmt"
	"runtime/debug"
)

// Caught makes an error of a panic, with the stack for the log. It is deferred
// where a goroutine begins: a fault in the work of one would end the program for
// all. The error has no code, so that people read that nobody foresaw it.
func Caught(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("it panicked: %v\n%s", p, debug.Stack())
	}
}
