package judge

import "strings"

// What a reason tells people to do stands at its end.
const (
	leaveIt      = ": leave it"
	readAgain    = ": read it again"
	cleanIt      = ": clean it now"
	cleanAtVisit = ": clean it at this visit"
	replaceIt    = ": replace it"
)

// unadvised is a reason without what it tells people to do: a judgement says one thing to do, in the reason that
// decided.
func unadvised(reason string) string {
	for _, advice := range [...]string{leaveIt, readAgain, cleanIt, cleanAtVisit, replaceIt, ", so replace it", ", replace it"} {
		reason = strings.TrimSuffix(reason, advice)
	}
	return reason
}
