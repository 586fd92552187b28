package shape

import "sootline"

// Way is a way out: words, and which use case it leads to, with what.
type Way struct {
	Text string   `json:"text" doc:"Words that hold at every face"`
	Do   string   `json:"do,omitempty" doc:"The use case that it leads to; give: ask again with the field named first in with, and the value behind it"`
	With []string `json:"with,omitempty" doc:"What that use case is given"`
}

// OfWays gives the shape of ways out.
func OfWays(ways sootline.Ways) []Way {
	shapes := make([]Way, len(ways))
	for i, w := range ways {
		shapes[i] = Way{Text: w.Text, Do: string(w.Use), With: w.With}
	}
	return shapes
}
