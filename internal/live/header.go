package live

import "regexp"

// header is what stands before a message of syslog (RFC 5424, from memory): priority, version, time, host, program, process, kind,
// and structured data, which may hold escaped brackets. It says nothing of the panel's own, and is left out of what is shown and
// learned; the bytes are kept as they came.
var header = regexp.MustCompile(`^<\d{1,3}>[1-9]\d{0,2} (?:-|\d{4}-\d\d-\d\dT\S+) \S+ \S+ \S+ \S+ (?:-|(?:\[(?:[^\]\\]|\\.)*\])+)(?: |$)(?:\xef\xbb\xbf)?`)

// headerLength gives how many bytes of a line are such a header; 0: it has none.
func headerLength(line []byte) int {
	if len(line) == 0 || line[0] != '<' {
		return 0
	}
	return len(header.Find(line))
}

// Times and days that nobody marked stand between fields, too: the figures in them change, whether or not they do in the examples.
var stampsInGlue = regexp.MustCompile(`\d{1,2}:\d\d(?::\d\d)?(?:[.,]\d+)?|\d{1,4}[-./]\d{1,2}[-./]\d{1,4}|\d{1,2}\.\d{1,2}\.`)

// restOfClock is what is left of a time that was marked without its seconds.
var restOfClock = regexp.MustCompile(`^[:.]\d\d(?:[.,]\d+)?`)

var figuresInGlue = regexp.MustCompile(`\d+`)

// varied lets figures of days and times in a spelling be any. behind is the field that stands before it.
func varied(glue string, behind Role) string {
	anyFigures := func(s string) string { return figuresInGlue.ReplaceAllString(s, string(digitsGlue)) }
	if behind == Clock {
		glue = restOfClock.ReplaceAllStringFunc(glue, anyFigures)
	}
	return stampsInGlue.ReplaceAllStringFunc(glue, anyFigures)
}
