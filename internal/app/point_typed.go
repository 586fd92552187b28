package app

import (
	"strconv"
	"strings"

	"sootline"
)

// NumberTyped reads the number of a point as somebody writes it, 99 or whole as 1.2.099, and the loop that was said
// beside it, as panel.loop; 0 where no number is written. Only a loop of the site is meant, since a slip would make a
// new one. A whole number that is not on the loop said beside it is refused, unless that is was, the loop that a form
// showed before anybody chose one.
func NumberTyped(r *sootline.Register, number, loop, was string) (sootline.LoopID, int, error) {
	if strings.Contains(number, ".") {
		return wholeTyped(r, number, loop, was)
	}
	n := 0
	if number = strings.TrimSpace(number); number != "" {
		var err error
		if n, err = strconv.Atoi(number); err != nil || n < 1 {
			return sootline.LoopID{}, 0, sootline.Errorf(sootline.Invalid, "write it as 99, or whole as 1.2.099", "%q is no number of a point", number)
		}
	}
	if loop == "" {
		return sootline.LoopID{}, 0, sootline.Errorf(sootline.Invalid, "choose it, or write the number whole, as 1.2.099", "nothing says on which loop it is")
	}
	id, err := loopTyped(r, loop)
	return id, n, err
}

func wholeTyped(r *sootline.Register, number, said, was string) (sootline.LoopID, int, error) {
	ref, err := sootline.ParseRef(number)
	if err != nil {
		return sootline.LoopID{}, 0, err
	}
	for _, known := range r.Loops() {
		if known.Name != ref.Loop || ref.Panel != "" && known.Panel != ref.Panel {
			continue
		}
		if said != "" && said != known.String() && said != was {
			return sootline.LoopID{}, 0, sootline.Errorf(sootline.Invalid, "choose that loop, or write the number alone", "loop %s was chosen, and %s is on another", said, ref)
		}
		return known.LoopID, ref.Number, nil
	}
	return sootline.LoopID{}, 0, sootline.Errorf(sootline.NotFound, "choose one of the site, or describe it first", "the site has no loop of the number %s", ref).Do(sootline.StateLoop)
}

func loopTyped(r *sootline.Register, text string) (sootline.LoopID, error) {
	for _, loop := range r.Loops() {
		if strings.EqualFold(loop.String(), text) {
			return loop.LoopID, nil
		}
	}
	return sootline.LoopID{}, sootline.Errorf(sootline.NotFound, "choose one of the site, or describe it first", "the site has no loop %q", text).Do(sootline.StateLoop)
}
