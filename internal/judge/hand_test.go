package judge

import (
	"fmt"
	"os"
	"testing"

	"sootline"
	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

func TestHands(t *testing.T) {
	if os.Getenv("HANDS") == "" {
		t.Skip()
	}
	for _, c := range []struct {
		w levels.World
		s string
	}{{instruments.World{}, "a large site"}, {instruments.World{}, "many handsets"}, {instruments.World{}, "a handset that is told of"}, {materials.World{}, "other instruments"}, {materials.World{}, "usual"}, {ducts.World{}, "large"}, {ducts.World{}, "offsets"}} {
		site := c.w.Make(1001, c.s)
		n := map[string]int{}
		for _, e := range site.Entries {
			if r, ok := e.Body.(sootline.Read); ok {
				n[fmt.Sprint(e.At.Format("2006-01-02"), " by ", e.By, " st ", e.Station, " rem ", r.Remark)]++
			} else {
				switch e.Body.(type) {
				case sootline.Note, sootline.Opened:
					n[fmt.Sprintf("%s %v %T %v", e.At.Format("2006-01-02"), e.By, e.Body, e.Body)]++
				}
			}
		}
		fmt.Println("==", c.s)
		k := 0
		for s, c := range n {
			fmt.Println(s, c)
			if k++; k > 14 {
				break
			}
		}
	}
}
