package worlds

import (
	"bytes"
	"math/rand/v2"
	"slices"
)

// letters gives where letters of text stand in the body of a line, outside keys and escapes.
func letters(raw []byte) []int {
	return scan(raw, func(c byte, text bool) bool { return text && c >= 'a' && c <= 'z' })
}

// digits gives where digits of numbers stand in the body of a line.
func digits(raw []byte) []int {
	return scan(raw, func(c byte, text bool) bool { return !text && c >= '0' && c <= '9' })
}

// scan finds bytes of values in a body; text says that they stand in a string.
func scan(raw []byte, fits func(c byte, text bool) bool) []int {
	from, to := bytes.Index(raw, []byte(`,"body":`)), bytes.LastIndex(raw, hashKey)
	if from < 0 || to < from {
		return nil
	}
	var out, inside []int
	text := false
	for i := from + len(`,"body":`); i < to; i++ {
		switch c := raw[i]; {
		case text && c == '\\':
			i++ // what an escape says is left alone
			if raw[i] == 'u' {
				i += 4
			}
		case c == '"' && text:
			text = false
			if i+1 < to && raw[i+1] != ':' {
				out = append(out, inside...)
			}
		case c == '"':
			text, inside = true, nil
		case fits(c, text):
			if text {
				inside = append(inside, i)
			} else {
				out = append(out, i)
			}
		}
	}
	slices.Sort(out)
	return out
}

// put gives a line with another byte at one place.
func put(rng *rand.Rand, r *row, at []int, from, to byte) bool {
	if len(at) == 0 {
		return false
	}
	i := at[rng.IntN(len(at))]
	c := from + byte(rng.IntN(int(to-from)+1))
	if c == r.raw[i] {
		if c++; c > to {
			c = from
		}
	}
	r.raw[i] = c
	return true
}

// retext, renumber and retime change a letter of a text, a digit of a number, a digit of the time.
func retext(rng *rand.Rand, r *row) bool   { return put(rng, r, letters(r.raw), 'a', 'z') }
func renumber(rng *rand.Rand, r *row) bool { return put(rng, r, digits(r.raw), '1', '9') }

func retime(rng *rand.Rand, r *row) bool {
	i := bytes.Index(r.raw, []byte(`"at":"`))
	if i < 0 {
		return false
	}
	i += len(`"at":"`)
	// the last digit of the year, the hour, the minute or the second
	return put(rng, r, []int{i + 3, i + 12, i + 15, i + 18}, '0', '3')
}

// reauthor changes who did it.
func reauthor(rng *rand.Rand, r *row) bool {
	key := []byte(`"by":"`)
	i := bytes.Index(r.raw, key)
	if i < 0 {
		return false
	}
	i += len(key)
	end := bytes.IndexByte(r.raw[i:], '"')
	var at []int
	for j := i; j < i+end; j++ {
		if r.raw[j] >= 'a' && r.raw[j] <= 'z' {
			at = append(at, j)
		}
	}
	if bytes.IndexByte(r.raw[i:i+end], '\\') >= 0 {
		return false
	}
	return put(rng, r, at, 'a', 'z')
}

// unfail makes a failed test a passed one.
func unfail(_ *rand.Rand, r *row) bool {
	for _, was := range []string{`"failed":true,`, `,"failed":true`, `"failed":true`} {
		if bytes.Contains(r.raw, []byte(was)) {
			r.raw = bytes.Replace(r.raw, []byte(was), nil, 1)
			return true
		}
	}
	return false
}

// alter changes one thing of a line, whichever is there.
func alter(rng *rand.Rand, r *row) bool {
	ways := []func(*rand.Rand, *row) bool{unfail, retext, renumber, reauthor, retime}
	from := rng.IntN(len(ways))
	for i := range ways {
		if ways[(from+i)%len(ways)](rng, r) {
			return true
		}
	}
	return false
}
