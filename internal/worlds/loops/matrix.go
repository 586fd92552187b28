package loops

import "math"

// matrix is dense; a row knows its last entry that is not 0, so that the elimination of a chain costs what a band costs.
type matrix [][]float64

func newMatrix(n int) matrix {
	m := make(matrix, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// solve gives the solution for each right side, by Gaussian elimination with row exchanges. Both arguments are spent.
// False where a pivot is as good as 0.
func (m matrix) solve(right ...[]float64) bool {
	last := make([]int, len(m))
	for i, row := range m {
		for k, x := range row {
			if x != 0 {
				last[i] = k
			}
		}
	}
	for c := range m {
		if !m.pivot(c, last, right) {
			return false
		}
		for r := c + 1; r < len(m); r++ {
			if m[r][c] == 0 {
				continue
			}
			f := m[r][c] / m[c][c]
			for k := c; k <= last[c]; k++ {
				m[r][k] -= f * m[c][k]
			}
			last[r] = max(last[r], last[c])
			for _, b := range right {
				b[r] -= f * b[c]
			}
		}
	}
	for _, b := range right {
		for r := len(m) - 1; r >= 0; r-- {
			for k := r + 1; k <= last[r]; k++ {
				b[r] -= m[r][k] * b[k]
			}
			b[r] /= m[r][r]
		}
	}
	return true
}

// pivot brings the largest entry of a column into its row.
func (m matrix) pivot(c int, last []int, right [][]float64) bool {
	best := c
	for r := c + 1; r < len(m); r++ {
		if math.Abs(m[r][c]) > math.Abs(m[best][c]) {
			best = r
		}
	}
	if math.Abs(m[best][c]) < 1e-13 {
		return false
	}
	if best != c {
		m[c], m[best] = m[best], m[c]
		last[c], last[best] = last[best], last[c]
		for _, b := range right {
			b[c], b[best] = b[best], b[c]
		}
	}
	return true
}
