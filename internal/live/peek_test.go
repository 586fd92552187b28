package live

import (
	"fmt"
	"os"
	"testing"

	"sootline/internal/worlds/lines"
)

func TestPeek(t *testing.T) {
	style := os.Getenv("STYLE")
	if style == "" {
		fmt.Println(lines.Styles())
		return
	}
	w := lines.Draw(style, 60, 10, 7)
	fmt.Println(w.Style, w.Site)
	for _, p := range w.Points[:4] {
		fmt.Printf("%+v\n", p)
	}
	les := w.Lesson(7)
	var all []byte
	for _, c := range les.Heard {
		all = append(all, c.Bytes...)
	}
	n := 0
	for _, r := range w.Heard {
		fmt.Printf("%s %q\n", r.At.Format("2006-01-02T15:04:05"), r.Bytes)
		if r.Truth != nil {
			fmt.Printf("      %+v\n", *r.Truth)
		}
		if n++; n > 25 {
			break
		}
	}
	for _, e := range les.Examples {
		fmt.Printf("EX %q\n", all[e.From:e.To])
		for _, m := range e.Marks {
			fmt.Printf("   %v %q %v\n", m.Role, all[m.From:m.To], m.Event)
		}
	}
}
