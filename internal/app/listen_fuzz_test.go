package app

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/live"
)

// FuzzHeard: whatever a source says, by whatever style its log holds, what is written is written once; heard again it adds
// nothing, and a panel and points of any name are found or refused in a sentence.
func FuzzHeard(f *testing.F) {
	f.Add("1", "1.1.001", `{"page":"utf-8","lines":1,"figures":{"number":{"least":1,"most":3}},"shapes":[{"marked":true,"shape":[{"role":"event"},{"glue":[" "]},{"role":"number"}]}],"words":{"FIRE":"alarm","BAD":"fault"}}`, "FIRE 1\nBAD 2\nBAD 2\n")
	f.Fuzz(func(t *testing.T, panel, point, style, heard string) {
		a, site := benchSite(t, 2)
		ctx := context.Background()
		taught := &Taught{Teaching: Teaching{Source: "printer", Panel: panel}, Style: &live.Style{}}
		if json.Unmarshal([]byte(style), taught.Style) != nil || a.KeepTaught(ctx, site, taught) != nil {
			return
		}
		if r, err := a.Register(ctx, site.ID, time.Time{}); err != nil {
			t.Fatal(err)
		} else if _, err := panelOf(r, panel); err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
		if v, err := a.HearValues(ctx, site, "bus", []string{point}); err == nil {
			for range 2 {
				if _, err := v.Hear(ctx, today, point, float64(len(heard))); err != nil {
					t.Fatal(err)
				}
			}
		}
		for again := range 2 {
			l, err := a.Listen(ctx, site, "printer")
			if err != nil {
				return
			}
			told, err := l.Hear(ctx, today, []byte(heard))
			if err != nil {
				t.Fatal(err)
			}
			for i := range told {
				if again > 0 && len(told[i].Wrote) > 0 {
					t.Fatalf("heard again, %q wrote %v", heard, told[i].Wrote)
				}
			}
		}
		a.Heard = t.TempDir()
		if h, err := a.Hearer(site, "printer", 60); err == nil {
			if err := h.hear(ctx, ear.Heard{At: today, Bytes: []byte(heard)}); err != nil {
				t.Fatal(err)
			}
			if err := h.Close(); err != nil {
				t.Fatal(err)
			}
			if again, err := a.ReadAgain(ctx, site, "printer", true); err == nil && len(again.Corrected) > 0 {
				t.Fatalf("read again by the same style, %q is corrected: %v", heard, again.Corrected)
			}
		}
		if _, err := a.HeardAs(ctx, site, "printer", []live.Chunk{{At: today, Bytes: []byte(heard)}}); err != nil && sootline.ErrorCode(err) == "" {
			t.Error(err)
		}
	})
}

// FuzzMap: any file as the list of which value is of which point is read or refused in a sentence; what is kept of it is read again
// as the same.
func FuzzMap(f *testing.F) {
	f.Add([]byte("Reference;Tag;Factor\n1.1.001;3:4:0;0,1\n1.1.002;3:4:1;/10\n"))
	f.Add([]byte("loop,number,slave,table,register,unit,least,most,holds\n1,1,3,input registers,0,%,0,100,0xFFFF\n"))
	a, site := benchSite(f, 2)
	path := filepath.Join(f.TempDir(), "map")
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		read, err := a.ReadMapFile(context.Background(), site.ID, "modbus", path)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		again, err := a.ReadMapText(context.Background(), site.ID, "modbus", read.Places)
		if err != nil || again.Places != read.Places {
			t.Errorf("kept is %q, read again %v", read.Places, err)
		}
	})
}
