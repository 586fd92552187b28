package papers

import (
	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// measuredBlocks tell what was measured of a loop, how the last of it stands to the calculated, and what changed.
func measuredBlocks(m *app.LoopMeasured) []paper.Block {
	if m == nil {
		return []paper.Block{paper.Paragraph{Text: "Nothing that was measured of the loop is written down."}}
	}
	t := paper.Table{Title: "Measured", Columns: []paper.Column{{Name: "day"}, {Name: "what was measured"}}}
	for i := range m.All {
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(m.Days[i]), paper.Text(sootline.Say(m.All[i].Measured))})
	}
	blocks := []paper.Block{t}
	var held []string
	for i := range m.Last {
		held = append(held, sootline.AsSentence(m.Last[i].Sentence()))
	}
	for _, text := range m.Insulation {
		held = append(held, sootline.AsSentence(text))
	}
	if len(held) > 0 {
		blocks = append(blocks, paper.Paragraph{Text: "Measured against calculated, the last of each:"}, paper.List{Items: held})
	}
	if len(m.Changes) > 0 {
		var changes []string
		for _, text := range m.Changes {
			changes = append(changes, sootline.AsSentence(text))
		}
		blocks = append(blocks, paper.Paragraph{Text: "What changed since it was first measured:"}, paper.List{Items: changes})
	}
	return blocks
}
