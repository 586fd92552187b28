// Package attack breaks the built program on purpose, from outside: over its command line, its pages, its API and its
// files. It knows nothing of the code, only what the handbook promises, so that it scores any engine behind the same doors.
//
// A scenario is a test. What the program has no way to do yet is skipped with "no way to do it found".
//
//	SOOTLINE_ATTACK=short go test ./internal/attack        the short form, which `make attack` runs
//	SOOTLINE_ATTACK=long go test -timeout 6h ./internal/attack   1,000 orders and 1,000 kills
//	SOOTLINE_BINARY=/path/to/sootline go test ./internal/attack  attacks a program that is built already
package attack
