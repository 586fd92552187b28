package papers

import (
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// radialBlocks tell how a radial circuit stands, what was found, and what is written of it.
func radialBlocks(power *app.RadialPower) []paper.Block {
	results := paper.Fields{Rows: []paper.Field{{Name: "verdict", Value: power.Stands.Sentence()}}}
	if settles := power.Settles(); settles != "" {
		results.Rows = append(results.Rows, paper.Field{Name: "would settle it", Value: settles})
	}
	for _, line := range power.Stands.Lines {
		results.Rows = append(results.Rows, paper.Field{Name: "found", Value: line})
	}
	results.Rows = append(results.Rows, paper.Field{Name: "written down", Value: sootline.Say(power.Kept.Radial)})
	blocks := []paper.Block{paper.Heading{Text: "Radial circuit " + power.Name()}, paper.Paragraph{Text: sootline.AsSentence(power.Stands.Sentence())}, results}
	if len(power.Assumed) > 0 {
		blocks = append(blocks, paper.Paragraph{Text: "Assumed, because nobody wrote it down: " + strings.Join(power.Assumed, "; ") + "."})
	}
	return blocks
}
