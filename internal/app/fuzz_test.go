package app

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/circuit"
	"sootline/internal/fuzzing"
)

// FuzzTyped: what is typed as numbers and days is finite, and reads the same however
// it is spaced.
func FuzzTyped(f *testing.F) {
	for _, text := range []string{"24,9", "1,234", "25 26;25", "1e400", "0x10", "2026-02-29", "2026-01-15", "-0,5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			x, err := TypedNumber(text)
			if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
				t.Fatalf("%q is %v", text, x)
			}
			samples, err := TypedSamples(text)
			spaced, bad := TypedSamples(" " + text + "\n")
			if (err == nil) != (bad == nil) || len(samples) != len(spaced) || err == nil && len(samples) == 0 {
				t.Fatalf("%q is %v (%v), spaced %v (%v)", text, samples, err, spaced, bad)
			}
			if n, err := TypedAddress(text); err == nil && (n < 1 || n > 9999) {
				t.Fatalf("%q is the number %d", text, n)
			}
			if day, err := ParseDay(text); err == nil && text != "" && day.String() != text {
				t.Fatalf("%q is the day %v", text, day)
			}
		})
	})
}

// FuzzRules: settings and counts of places are those that were typed.
func FuzzRules(f *testing.F) {
	f.Add("blink=off\x00=b")
	f.Add("1.2.040=1\x00x=-1")
	f.Fuzz(func(t *testing.T, typed string) {
		texts := strings.Split(typed, "\x00")
		fuzzing.Within(t, len(typed), func() {
			if settings, err := ParseSettings(texts); err == nil && len(settings) > len(texts) {
				t.Fatalf("%d settings of %q", len(settings), texts)
			}
			counts, err := ParsePlaceCounts(texts)
			for i, c := range counts {
				if c.Answered < 0 || err == nil && !strings.HasPrefix(texts[i], c.Place+"=") {
					t.Fatalf("%q gives %+v", texts[i], c)
				}
			}
		})
	})
}

// FuzzFault: a fault that is understood lies on a cable of the loop.
func FuzzFault(f *testing.F) {
	draft, err := ReadLoopFile(strings.NewReader(`{"default": {"volts": 28, "metres": 10, "mm2": 1.5}, "points": [{"name": "1.001"}, {"name": "1.002"}]}`))
	if err != nil {
		f.Fatal(err)
	}
	loop, _, err := draft.Loop()
	if err != nil {
		f.Fatal(err)
	}
	c, err := circuit.New(loop)
	if err != nil {
		f.Fatal(err)
	}
	for _, text := range []string{"break@1.001", "short@IN", "plus@1.002", "minus", "break@"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			fault, err := parseFault(c, text)
			if err == nil {
				_, err = c.Under([]circuit.Fault{fault}, circuit.Alarms{})
				if err != nil {
					t.Fatalf("%q is understood, and lies nowhere: %v", text, err)
				}
			}
		})
	})
}

// FuzzPassword: no password is let through that is short, or is one that was refused
// with a capital letter in it.
func FuzzPassword(f *testing.F) {
	f.Add("L. Local", "passwordpassword")
	f.Add("L. Local", "seven quiet lanterns")
	f.Fuzz(func(t *testing.T, name, password string) {
		fuzzing.Within(t, len(name)+len(password), func() {
			if err := goodPassword(name, password); err == nil && len([]rune(password)) < LeastPassword {
				t.Fatalf("%q is let through", password)
			}
		})
	})
}

// exportToBegin is a sound export of a small site.
func exportToBegin(t testing.TB) ([]byte, sootline.ID) {
	t.Helper()
	a := newApp(t, "laptop")
	site, err := a.AddSite(context.Background(), NewSite{Name: "Works"})
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if _, err := a.AddEntry(context.Background(), site, Note{Body: sootline.Note{Text: "looked at"}}); err != nil {
			t.Fatal(err)
		}
	}
	var text bytes.Buffer
	if _, err := a.Export(context.Background(), site, &text); err != nil {
		t.Fatal(err)
	}
	return text.Bytes(), site
}

// FuzzExport: an export that is taken as whole is one site's, and every head in it is
// signed by its key.
func FuzzExport(f *testing.F) {
	text, _ := exportToBegin(f)
	f.Add(text)
	f.Add(bytes.Replace(text, []byte("looked"), []byte("Looked"), 1))
	f.Fuzz(func(t *testing.T, text []byte) {
		fuzzing.Within(t, len(text), func() {
			x, err := readExport(t.Context(), bytes.NewReader(text))
			if err != nil {
				return
			}
			unbroken := x.unbroken()
			if x.check() != nil || unbroken != nil {
				return
			}
			for i := range x.heads {
				if !x.heads[i].Genuine() || x.heads[i].Site != x.site() {
					t.Fatalf("a head of %s was let through", x.heads[i].Station)
				}
			}
		})
	})
}

// FuzzWitness: a file that is to witness a site's chains is of that site, or refused.
func FuzzWitness(f *testing.F) {
	text, site := exportToBegin(f)
	f.Add(text)
	f.Add([]byte("SQLite format 3\x00"))
	path := filepath.Join(f.TempDir(), "witness")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		fuzzing.Within(t, len(text), func() {
			file, err := readWitness(context.Background(), path, site)
			if err == nil && len(file.heads) == 0 || err != nil && err.Error() == "" {
				t.Fatalf("%+v, %v", file, err)
			}
		})
	})
}

// FuzzImport: whatever is handed in as an export, a book that took it exports a log
// that is whole, and takes it once more as nothing new.
func FuzzImport(f *testing.F) {
	text, _ := exportToBegin(f)
	f.Add(text)
	f.Add(text[:len(text)/2])
	f.Add(zipped(f, archiveLines, text))
	f.Add(zipped(f, archivePhotos+strings.Repeat("a", 64)+archiveEnding, text))
	f.Fuzz(func(t *testing.T, text []byte) {
		a := newApp(t, "desk")
		ctx := context.Background()
		var in Imported
		var err error
		fuzzing.Within(t, len(text), func() { in, err = a.Import(ctx, bytes.NewReader(text)) })
		if err != nil {
			return
		}
		again, err := a.Import(ctx, bytes.NewReader(text))
		if err != nil || again.Added != 0 || in.Added > in.Lines {
			t.Fatalf("%+v, then %+v: %v\n%s", in, again, err, text)
		}
	})
}

// zipped is an archive of one file.
func zipped(f *testing.F, name string, content []byte) []byte {
	var b bytes.Buffer
	archive := zip.NewWriter(&b)
	w, err := archive.Create(name)
	if err == nil {
		_, err = w.Write(content)
	}
	if err := errors.Join(err, archive.Close()); err != nil {
		f.Fatal(err)
	}
	return b.Bytes()
}

// FuzzUpright: of whatever says that it is a picture comes a JPEG no larger than asked for, or a refusal.
func FuzzUpright(f *testing.F) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 9, 5)), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add(heldAs(b.Bytes(), 6, "II"))
	f.Add([]byte(headOfPhoto))
	f.Fuzz(func(t *testing.T, content []byte) {
		if shape, _, err := image.DecodeConfig(bytes.NewReader(content)); err == nil && shape.Width*shape.Height > 1<<20 {
			t.Skip("as large as a photo may be, and slow to unpack")
		}
		fuzzing.Within(t, len(content), func() {
			made, err := Upright(content, 8)
			if err != nil {
				return
			}
			if shape, err := jpeg.DecodeConfig(bytes.NewReader(made)); err != nil || shape.Width > 8 || shape.Height > 8 {
				t.Fatalf("%d bytes give %v, %v", len(content), shape, err)
			}
		})
	})
}

// FuzzBox: whatever the list of a box holds, each device of it has a serial or a type,
// and none is made up.
func FuzzBox(f *testing.F) {
	for _, text := range []string{"serial,type\nS1,Larch\nS1,Larch\n", "S1\nS2\n", "A;B\n;\n", "type,batch\nLarch,7\n"} {
		f.Add([]byte(text))
	}
	path := filepath.Join(f.TempDir(), "box.csv")
	f.Fuzz(func(t *testing.T, content []byte) {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		fuzzing.Within(t, len(content), func() {
			devices, _, err := (&App{}).BoxList(context.Background(), path)
			if (err == nil) != (len(devices) > 0) {
				t.Fatalf("%d devices and %v of %q", len(devices), err, content)
			}
			for _, d := range devices {
				if d == (sootline.BoxDevice{}) {
					t.Fatalf("a device of nothing in %q", content)
				}
			}
		})
	})
}

// FuzzDesignBrief: whatever a table of what is wanted holds, it is refused in words, or every place of it is somewhere.
func FuzzDesignBrief(f *testing.F) {
	for _, text := range []string{"area,floor,m2,Larch\nHall,0,90,3\n", "type;area;x;y;m2\nLarch;Hall;3;4,5;90\nLarch;Hall;;;\n", "area\twidth\tdepth\tLarch\nA\t1\t2e3\t9\n"} {
		f.Add([]byte(text))
	}
	larch := sootline.Entry{ID: sootline.DerivedID(sootline.LongAgo, []byte("larch")), At: sootline.LongAgo, Body: sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke}}}
	log := sootline.NewLog([]sootline.Entry{larch})
	r := log.Fold(Always)
	f.Fuzz(func(t *testing.T, content []byte) {
		fuzzing.Within(t, len(content), func() {
			brief, err := ReadDesignBrief(bytes.NewReader(content), r)
			if err != nil {
				return
			}
			for _, p := range brief.places {
				if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) || p.Type != "Larch" {
					t.Fatalf("%+v of %q", p, content)
				}
			}
		})
	})
}

// FuzzBench: whatever is typed at the bench is written or refused in words, and the run
// can be looked at afterwards.
func FuzzBench(f *testing.F) {
	f.Add("1\x00S1\x001.1.001\x00cracked")
	f.Add("1.1\x00s-1\x002\x00")
	f.Add("9\x00\x00x\x00\x1b")
	f.Fuzz(func(t *testing.T, typed string) {
		a, site := benchSite(t, 2)
		parts := append(strings.SplitN(typed, "\x00", 4), "", "", "", "")
		ctx, loop, serial, place, why := context.Background(), parts[0], parts[1], parts[2], parts[3]
		unit := sootline.Unit{Serial: serial}
		a.OpenBench(ctx, site, BenchOpening{Loop: loop, Empty: true, Name: why}) //nolint:errcheck // refused, or one more run
		run, err := a.OpenBench(ctx, site, BenchOpening{Name: "run of the fuzz", Box: []sootline.BoxDevice{{Unit: unit}}})
		if err != nil {
			t.Fatal(err)
		}
		id := run.ID.String()
		a.Bench(ctx, site, why)                                                                               //nolint:errcheck // there is one, or not
		a.BenchLook(ctx, site, id, BenchGiven{Given: bench.Given{Unit: unit}})                                //nolint:errcheck // as above
		a.BenchSkip(ctx, site, id, place, why)                                                                //nolint:errcheck // as above
		a.BenchReject(ctx, site, id, place, sootline.BoxDevice{Unit: unit}, why)                              //nolint:errcheck // as above
		a.BenchDone(ctx, site, id, BenchGiven{Sure: true, Given: bench.Given{Unit: unit, Type: why}})         //nolint:errcheck // as above
		a.ReplaceHand(ctx, site, place, "")                                                                   //nolint:errcheck // as above
		a.UndoReplacement(ctx, site, place)                                                                   //nolint:errcheck // as above
		a.ReplaceDevice(ctx, site, Replacement{Place: place, From: loop, BenchGiven: BenchGiven{Sure: true}}) //nolint:errcheck // as above
		after, err := a.Bench(ctx, site, id)
		if err != nil {
			t.Fatal(err)
		}
		after.PlaceNamed(place) //nolint:errcheck // there is one, or not
		for _, l := range after.Left() {
			if l.Text == "" {
				t.Fatalf("left without words: %+v", l)
			}
		}
		if _, err := a.CloseBench(ctx, site, id, why, true); err != nil {
			t.Fatal(err)
		}
		a.ReopenBench(ctx, site, id)                    //nolint:errcheck // it ended, or its name is another's
		a.BenchUndo(ctx, site, id, sootline.ID{}, true) //nolint:errcheck // there is something, or not
	})
}
