package listings

import "fmt"

// Run has listings taken in and scored: n of them, by their seeds from the first on.
func Run(take Taker, first uint64, n int) ([]Verdict, error) {
	verdicts := make([]Verdict, 0, n)
	for i := range n {
		l := Make(first + uint64(i))
		out, err := take(l.Site, l.Name, l.Data)
		if err != nil {
			return verdicts, fmt.Errorf("seed %d, %s as %s: %w", l.Seed, l.Layout, l.Format, err)
		}
		verdicts = append(verdicts, Score(l, out))
	}
	return verdicts, nil
}
