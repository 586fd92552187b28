package listings

import (
	"fmt"

	"sootline"
)

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

// Export writes a made site as the export of a log book, sealed, so that it can be imported as any other.
func Export(site []sootline.Entry) ([]byte, error) {
	var text []byte
	chains := map[string]*sootline.Chain{}
	for _, e := range site {
		if chains[e.Station] == nil {
			chains[e.Station] = &sootline.Chain{}
		}
		var err error
		if text, err = chains[e.Station].Seal(text, &e); err != nil {
			return nil, err
		}
		text = append(text, '\n')
	}
	return text, nil
}
