package ear

// isText reports whether bytes look like printed lines: nearly all are letters, figures, signs or what steers a printer, and
// not all are the same.
func isText(b []byte) bool {
	good, seen := 0, map[byte]bool{}
	for _, c := range b {
		seen[c] = true
		switch {
		case c >= ' ' && c < 0x7f:
			good++
		case c == '\r', c == '\n', c == '\f', c == '\t', c == 0x1b, c == 0x0e, c == 0x0f:
			good++
		}
	}
	return len(b) > 0 && len(seen) > 4 && good*100 >= len(b)*90
}
