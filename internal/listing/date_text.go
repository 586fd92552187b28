package listing

import "strconv"

// text writes c as ISO 8601, as a workbook's dates are shown.
func (c Civil) text() string {
	b := make([]byte, 0, len("2006-01-02 15:04:05"))
	b = appendPadded(b, c.Year, 4)
	b = appendPadded(append(b, '-'), c.Month, 2)
	b = appendPadded(append(b, '-'), c.Day, 2)
	if c.HasTime {
		b = append(append(b, ' '), c.clockText()...)
	}
	return string(b)
}

func (c Civil) clockText() string {
	b := appendPadded(nil, c.Hour, 2)
	b = appendPadded(append(b, ':'), c.Minute, 2)
	return string(appendPadded(append(b, ':'), c.Second, 2))
}

func appendPadded(b []byte, n, width int) []byte {
	for limit := 10; width > 1; width-- {
		if n < limit {
			for range width - 1 {
				b = append(b, '0')
			}
			break
		}
		limit *= 10
	}
	return strconv.AppendInt(b, int64(n), 10)
}
