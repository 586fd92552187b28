package papers

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// photoWide is how many dots a photo is wide or high on paper at most: a third of the text's width at 300 dots an inch.
const photoWide = 700

// photoNames names the photos of a defect by their numbers on the paper.
func (p *paperwork) photoNames(d *sootline.DefectFacts) string {
	var names []string
	for _, hash := range d.Photos {
		names = append(names, fmt.Sprintf("photo %d", p.photoNumber(hash)))
	}
	return strings.Join(names, ", ")
}

// photoNumber counts the photos of the paper, each once.
func (p *paperwork) photoNumber(hash string) int {
	if p.photos[hash] == 0 {
		p.photos[hash] = len(p.photos) + 1
	}
	return p.photos[hash]
}

// photosOf shows the photos of some defects.
func (p *paperwork) photosOf(defects []*sootline.DefectFacts) []paper.Block {
	var b paper.Photos
	shown := map[string]bool{}
	for _, d := range defects {
		for _, hash := range d.Photos {
			if !shown[hash] {
				shown[hash] = true
				b.Photos = append(b.Photos, p.photoOf(hash, placed(d)+": "+d.What()))
			}
		}
	}
	if len(b.Photos) == 0 {
		return nil
	}
	return []paper.Block{paper.Heading{Text: "Photos"}, b}
}

// photosAt shows every photo that entries about a point name, the first one first.
func (p *paperwork) photosAt(point *sootline.Point) []paper.Block {
	var b paper.Photos
	for _, e := range p.log.Holding() {
		if hash := sootline.PhotoOf(e.Body); hash != "" && e.Point == point.ID && rests(e, p.wish.On) && p.photos[hash] == 0 {
			b.Photos = append(b.Photos, p.photoOf(hash, p.day(e.At)+", "+sootline.Say(e.Body)))
		}
	}
	if len(b.Photos) == 0 {
		return nil
	}
	return []paper.Block{paper.Heading{Text: "Photos"}, b}
}

// photoOf is a photo with its number and what it shows; one that cannot be had says so.
func (p *paperwork) photoOf(hash, shows string) paper.Photo {
	photo := paper.Photo{Hash: hash, Caption: fmt.Sprintf("Photo %d. %s", p.photoNumber(hash), clipped(shows))}
	content, err := p.photo(hash)
	if err == nil {
		photo.JPEG, err = app.Upright(content, photoWide)
	}
	if err != nil {
		photo.JPEG = nil
		photo.Caption += " (not shown: " + err.Error() + ")"
	}
	return photo
}
