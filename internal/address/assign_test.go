package address

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

// drawCosts draws a table of costs, wider than tall, often with equal ones.
func drawCosts(r *rand.Rand, most int) [][]int {
	rows := 1 + r.IntN(most)
	columns := rows + r.IntN(most)
	spread := []int{2, 10, 1000}[r.IntN(3)]
	cost := make([][]int, rows)
	for i := range cost {
		cost[i] = make([]int, columns)
		for j := range cost[i] {
			cost[i][j] = r.IntN(spread)
		}
	}
	return cost
}

// total adds up an assignment, or fails when a column is used twice.
func total(t *testing.T, cost [][]int) int {
	t.Helper()
	sum, used := 0, map[int]bool{}
	for i, j := range assign(cost) {
		if used[j] {
			t.Fatalf("column %d is used twice: %v", j, cost)
		}
		used[j] = true
		sum += cost[i][j]
	}
	return sum
}

// Held against trying every assignment.
func TestAssignIsCheapest(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1955))
	for range 300 {
		cost := drawCosts(r, 4)
		if got, want := total(t, cost), cheapest(cost, 0, map[int]bool{}); got != want {
			t.Fatalf("%d, the cheapest is %d: %v", got, want, cost)
		}
	}
}

func cheapest(cost [][]int, row int, used map[int]bool) int {
	if row == len(cost) {
		return 0
	}
	best := math.MaxInt
	for j, c := range cost[row] {
		if !used[j] {
			used[j] = true
			best = min(best, c+cheapest(cost, row+1, used))
			delete(used, j)
		}
	}
	return best
}

// The least cost of 200 random tables, against scipy.optimize.linear_sum_assignment;
// costs are whole numbers, so they must be equal.
func TestAgainstSciPy(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with SciPy (needs /usr/bin/python3 with python3-scipy)")
	}
	r := rand.New(rand.NewPCG(2026, 4))
	tables := make([][][]int, 200)
	for i := range tables {
		tables[i] = drawCosts(r, 60)
	}
	in, err := json.Marshal(tables)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "../../scripts/oracle_numbers.py")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	var answer struct {
		Costs        []int
		Microseconds float64
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	if len(answer.Costs) != len(tables) {
		t.Fatalf("%d answers to %d tables", len(answer.Costs), len(tables))
	}
	for i, want := range answer.Costs {
		if got := total(t, tables[i]); got != want {
			t.Errorf("table %d: %d, SciPy finds %d", i, got, want)
		}
	}
	t.Logf("%d tables agree; SciPy took %.0f us a table of up to 60 rows", len(tables), answer.Microseconds)
}

func BenchmarkAssign(b *testing.B) {
	r := rand.New(rand.NewPCG(2026, 4))
	tables := make([][][]int, 200)
	for i := range tables {
		tables[i] = drawCosts(r, 60)
	}
	for b.Loop() {
		for _, cost := range tables {
			assign(cost)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(len(tables)), "us/table")
}
