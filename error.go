package sootline

import (
	"errors"
	"fmt"
)

// Code says what kind of trouble an [Error] is. One table in cmd turns codes
// into exit codes; the web application has its own for HTTP statuses.
type Code string

// The codes.
const (
	// Invalid: what was asked or handed in cannot be right.
	Invalid Code = "invalid"
	// NotFound: what was named is not there.
	NotFound Code = "not found"
	// Conflict: it contradicts what is there.
	Conflict Code = "conflict"
	// Doubtful: it may be a slip; whoever is certain says so.
	Doubtful Code = "doubtful"
	// Damaged: something stored is not what was written.
	Damaged Code = "damaged"
	// Unavailable: the machine would not: a full disk, no permission, a locked file.
	Unavailable Code = "unavailable"
	// Newer: made by a later version of this program.
	Newer Code = "newer"
	// Unforeseen: the program fails at what it was given, and only its makers can say why.
	Unforeseen Code = "unforeseen"
)

// Error is trouble that a person is told about: a sentence, the way out, and
// the cause for whoever looks deeper.
type Error struct {
	Code    Code
	Message string // the whole sentence, without a full stop
	Ways    Ways   // the ways out, or none
	Err     error  // the cause, or nil; Message has told of it already
}

// Error gives the sentence.
func (e *Error) Error() string { return e.Message }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// Errorf makes an Error whose message is formatted as by fmt.Errorf; what %w
// wraps becomes its cause. The hint holds at every face; [Error.Do] says which
// use case it leads to.
func Errorf(code Code, hint, format string, args ...any) *Error {
	err := fmt.Errorf(format, args...)
	return &Error{Code: code, Message: err.Error(), Ways: Out(hint), Err: errors.Unwrap(err)}
}

// Do says which use case the last way out leads to, as [Ways.Do].
func (e *Error) Do(use Use, with ...string) *Error {
	e.Ways = e.Ways.Do(use, with...)
	return e
}

// Or adds another way out.
func (e *Error) Or(text string) *Error {
	e.Ways = e.Ways.Or(text)
	return e
}

// ErrorCode gives the code of the first [Error] in err's chain, or "" when
// there is none.
func ErrorCode(err error) Code {
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Code
	}
	return ""
}

// ErrorWays gives the ways out that err's chain names first.
func ErrorWays(err error) Ways {
	for err != nil {
		e, ok := errors.AsType[*Error](err)
		if !ok {
			return nil
		}
		if len(e.Ways) > 0 {
			return e.Ways
		}
		err = e.Err
	}
	return nil
}

// ErrorHint gives the words of [ErrorWays], or "".
func ErrorHint(err error) string { return ErrorWays(err).String() }
