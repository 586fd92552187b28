package main

import (
	"fmt"
	"os/exec"
	"strconv"
	"strings"
)

// circuits measures the loop as a circuit: its benchmarks lie beside the package,
// since the networks that ngspice and gonum are given are built by its tests. Of
// three runs the best of each figure counts, ours and theirs alike.
func circuits(string, string) ([]row, error) {
	var out string
	for _, run := range [][2]string{{"^Benchmark(FaultsAgainstOthers|Pairs|Verdict)$", "20x"}, {"^BenchmarkSolve$", "100ms"}} {
		text, err := exec.Command("go", "test", "-run", "^$", "-bench", run[0], "-benchtime", run[1], "-count", "3", "./internal/circuit").CombinedOutput()
		if err != nil {
			return nil, fmt.Errorf("benchmarks of internal/circuit: %w\n%s", err, text)
		}
		out += string(text)
	}
	best := figures(out)
	const faults, pairs, verdict = "FaultsAgainstOthers", "Pairs", "Verdict"
	for _, need := range []string{faults + " s-ngspice", faults + " s-dense", faults + " s-survey", faults + " s-each", pairs + " ns/op", verdict + " ns/op"} {
		if best[need] == 0 {
			return nil, fmt.Errorf("benchmarks of internal/circuit: no figure for %s in\n%s", need, out)
		}
	}
	least, most, sizes := spread(best, "ns/device")
	if sizes < 5 {
		return nil, fmt.Errorf("benchmarks of internal/circuit: %d sizes of loop in\n%s", sizes, out)
	}
	ngspice, dense, survey, each := best[faults+" s-ngspice"], best[faults+" s-dense"], best[faults+" s-survey"], best[faults+" s-each"]
	seconds := best[pairs+" ns/op"] / 1e9
	return []row{
		{"254 single faults of a loop of 126 devices", milliseconds(survey), fmt.Sprintf("ngspice, one batch: %.2f s", ngspice), fmt.Sprintf("1/%.0f", ngspice/survey), "at least 200 times faster", ngspice >= 200*survey},
		{"  the same one by one", milliseconds(each), fmt.Sprintf("gonum, dense LU: %.2f s", dense), fmt.Sprintf("1/%.0f", dense/each), "at least 20 times faster", dense >= 20*each},
		{"all pairs of opens of a loop of 250 devices", milliseconds(seconds), "", "", "under 1 s", seconds < 1},
		{"verdict of a loop of 126 devices, mixed loads", milliseconds(best[verdict+" ns/op"] / 1e9), "", "", "under 200 ms", best[verdict+" ns/op"] < 2e8},
		{"one solution, 63 to 4,000 devices", fmt.Sprintf("%.0f ns a device", least), fmt.Sprintf("the slowest size: %.0f ns", most), fmt.Sprintf("%.2f", most/least), "linear: at most 2", most <= 2*least},
	}, nil
}

// figures keeps the least of each figure of a benchmark's output, by the name of
// the benchmark and the unit.
func figures(out string) map[string]float64 {
	best := map[string]float64{}
	for line := range strings.Lines(out) {
		words := strings.Fields(line)
		if len(words) < 4 || !strings.HasPrefix(words[0], "Benchmark") {
			continue
		}
		name := strings.TrimPrefix(words[0], "Benchmark")
		if i := strings.LastIndexByte(name, '-'); i > 0 {
			name = name[:i] // the number of cores
		}
		for i := 2; i+1 < len(words); i += 2 {
			value, err := strconv.ParseFloat(words[i], 64)
			key := name + " " + words[i+1]
			if old, known := best[key]; err == nil && (!known || value < old) {
				best[key] = value
			}
		}
	}
	return best
}

// spread gives the least and the largest figure in a unit, over all benchmarks.
func spread(best map[string]float64, unit string) (least, most float64, n int) {
	for key, value := range best {
		if !strings.HasSuffix(key, " "+unit) {
			continue
		}
		if n++; n == 1 {
			least, most = value, value
		}
		least, most = min(least, value), max(most, value)
	}
	return least, most, n
}

func milliseconds(s float64) string { return fmt.Sprintf("%.2f ms", 1000*s) }
