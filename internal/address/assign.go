package address

import "math"

// assign gives each row a column of its own so that the costs add up to the
// least: the shortest augmenting paths of Kuhn's Hungarian method (Kuhn 1955;
// Tomizawa 1971), in rows^2 * columns steps. It needs at least as many columns
// as rows.
func assign(cost [][]int) []int {
	if len(cost) == 0 {
		return nil
	}
	rows, columns := len(cost), len(cost[0])
	a := assignment{
		cost: cost, rowPrice: make([]int, rows+1), columnPrice: make([]int, columns+1),
		row: make([]int, columns+1), before: make([]int, columns+1),
	}
	for i := 1; i <= rows; i++ {
		a.add(i)
	}
	column := make([]int, rows)
	for j, i := range a.row[1:] {
		if i > 0 {
			column[i-1] = j
		}
	}
	return column
}

// assignment counts rows and columns from 1; column 0 stands for "none yet".
type assignment struct {
	cost        [][]int
	rowPrice    []int
	columnPrice []int
	row         []int // the row that has a column, or 0
	before      []int // the column before on the path
}

// add gives row i a column, moving others along the cheapest path.
func (a *assignment) add(i int) {
	columns := len(a.row)
	a.row[0] = i
	slack, done := make([]int, columns), make([]bool, columns)
	for j := range slack {
		slack[j] = math.MaxInt
	}
	at := 0
	for a.row[at] != 0 {
		done[at] = true
		at = a.nearest(at, slack, done)
	}
	for at != 0 {
		a.row[at] = a.row[a.before[at]]
		at = a.before[at]
	}
}

// nearest looks from the row of column at for the column with the least slack,
// and changes the prices so that it is reached at no cost.
func (a *assignment) nearest(at int, slack []int, done []bool) int {
	row, price := a.cost[a.row[at]-1], a.rowPrice[a.row[at]]
	columnPrice, least, next := a.columnPrice[:len(slack)], math.MaxInt, 0
	for j, c := range row {
		j++
		if done[j] {
			continue
		}
		if s := c - price - columnPrice[j]; s < slack[j] {
			slack[j], a.before[j] = s, at
		}
		if slack[j] < least {
			least, next = slack[j], j
		}
	}
	if least == 0 {
		return next
	}
	for j := range slack {
		if done[j] {
			a.rowPrice[a.row[j]] += least
			columnPrice[j] -= least
		} else {
			slack[j] -= least
		}
	}
	return next
}
