// Command sootline looks after fire-detection loops: it takes in the listings
// that people have, says what is wrong on the register, judges every resting
// value and says what to do next. It keeps all of it in a log book.
//
// It never writes to a fire panel.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	_ "time/tzdata" // time zones are known on machines that have none installed

	"sootline"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run is the whole program: arguments and streams in, exit code out.
func run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	shown, told := onScreen(out), onScreen(errOut)
	s := &session{in: in, out: shown, err: told}
	cmd := rootCommand(s)
	cmd.SetArgs(args)
	cmd.SetIn(in)
	cmd.SetOut(shown)
	cmd.SetErr(told)
	err := errors.Join(cmd.ExecuteContext(ctx), shown.end())
	s.progress.clear()
	if err != nil {
		tell(told, err)
	}
	if end := told.end(); err == nil {
		err = end
	}
	return exitCode(err)
}

// The exit codes, as every help text says them.
const (
	exitDone     = 0
	exitFindings = 1 // with --strict: something needs somebody
	exitUsage    = 2
	exitCouldNot = 3
)

// errFindings ends a command that found something under --strict. The findings
// were printed; there is nothing more to say.
var errFindings = errors.New("something needs somebody")

// exitCode is the one table from error codes to exit codes.
func exitCode(err error) int {
	if err == nil {
		return exitDone
	}
	if errors.Is(err, errFindings) {
		return exitFindings
	}
	if _, ok := errors.AsType[usageError](err); ok {
		return exitUsage
	}
	switch sootline.ErrorCode(err) {
	case sootline.NotFound, sootline.Conflict, sootline.Damaged, sootline.Unavailable, sootline.Newer, sootline.Unforeseen:
		return exitCouldNot
	case sootline.Invalid, sootline.Doubtful:
		return exitUsage
	}
	return exitCouldNot
}

// usageError is a mistake in the command line.
type usageError struct{ error }

// Unwrap gives what is behind it, such as a way out.
func (e usageError) Unwrap() error { return e.error }

// tell prints an error and the way out, in the one voice of the program: lower
// case, no full stop.
func tell(w io.Writer, err error) {
	if errors.Is(err, errFindings) {
		return
	}
	fmt.Fprintf(w, "error: %v\n", err)
	if hint := inWords(sootline.ErrorWays(err)); hint != "" {
		fmt.Fprintf(w, "hint: %s\n", hint)
	}
}
