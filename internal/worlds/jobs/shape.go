package jobs

import (
	"net/url"
	"regexp"
	"slices"
	"strings"
)

var running = regexp.MustCompile(`^(?:[0-9a-f]{8}-[0-9a-f-]{27}|[0-9][0-9.:-]*|[0-9A-Za-z_-]{16,})$`)

// shape is an address without what differs from book to book: the server, running numbers, values of the query.
func shape(address string) string {
	at, err := url.Parse(address)
	if err != nil {
		return address
	}
	parts := strings.Split(at.Path, "/")
	for i, part := range parts {
		if running.MatchString(part) {
			parts[i] = "*"
		}
	}
	var keys []string
	for key := range at.Query() {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	if len(keys) == 0 {
		return strings.Join(parts, "/")
	}
	return strings.Join(parts, "/") + "?" + strings.Join(keys, "&")
}
