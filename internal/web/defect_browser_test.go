package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
)

// TestPhoneDefects captures, without network, a failed test, a defect with a photo,
// a mending and two retests; what the phone makes of them is what the register
// makes of them when they were handed in.
func TestPhoneDefects(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	ctx, _ := startPhone(t, t.TempDir())
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	server.stop()
	const helpers = `const $ = id => document.getElementById(id), wait = ms => new Promise(done => setTimeout(done, ms));
		const mine = async () => (await VisitStore.all("entries")).length;
		const kept = async work => { const before = await mine(); await work(); for (let i = 0; await mine() === before; i++) { if (i > 400) throw new Error("not kept: " + $("trouble").textContent); await wait(5); } await wait(30); };
		const mode = name => document.querySelector('[data-mode=' + name + ']').click(), act = what => document.querySelector('[data-do=' + what + ']').click();
		const step = (of, says) => { const line = [...$("defects").children].find(line => line.textContent.includes(of)); [...line.querySelectorAll("button")].find(b => b.textContent === says).click(); };
		const jump = ref => { $("wanted").value = ref; $("byname").requestSubmit(); };
		const shown = () => [...$("defects").children].map(line => line.querySelector("summary").firstChild.textContent + (line.textContent.includes("not tried again") ? " mended" : " open")).join("; ");`
	faulty := slices.IndexFunc(surveyOf(t, s).Register.Defects(), func(d *sootline.DefectFacts) bool { return d.Point != nil && d.Nature == sootline.FaultDefect })
	d := surveyOf(t, s).Register.Defects()[faulty]
	got := run[string](t, ctx, `(async () => {`+helpers+fmt.Sprintf(`
		jump(%q);
		if (!shown()) throw new Error("the fault of before is not shown");
		await kept(() => { mode("tested"); $("failwords").value = "no answer to smoke"; act("failed"); });
		await kept(() => { mode("tested"); act("failed"); });
		mode("defect");
		const canvas = Object.assign(document.createElement("canvas"), {width: 40, height: 30});
		canvas.getContext("2d").fillRect(4, 4, 20, 20);
		const picture = new DataTransfer();
		picture.items.add(new File([await new Promise(done => canvas.toBlob(done))], "seen.png", {type: "image/png"}));
		$("defectpicture").files = picture.files;
		$("defectpicture").dispatchEvent(new Event("change"));
		for (let i = 0; !$("defectphoto").textContent.includes("taken"); i++) { if (i > 400) throw new Error("no photo"); await wait(5); }
		$("defecttext").value = "cover cracked";
		act("defect"); // what and how grave is asked
		if ($("trouble").hidden) throw new Error("a defect of no kind was taken");
		$("nature").value = "damage"; $("grade").value = "serious";
		await kept(() => act("defect"));
		await kept(() => { $("defects").querySelector("input").value = "new base"; step("fault", "It was mended"); });
		await kept(() => step("fault", "Still not"));
		$("trouble").hidden = true;
		const before = await mine();
		step("fault", "In order again"); // open, and no words: asked
		await wait(100);
		if ($("trouble").hidden || await mine() !== before) throw new Error("a blank retest was taken of a defect that nobody mended");
		await kept(() => step("cover cracked", "It was mended"));
		return shown();
	})()`, d.Point.Ref().String()))
	if want := sootline.Joined("fault", d.Cause, d.Text) + " (serious) open; failed test, no answer to smoke (serious) open; damage, cover cracked (serious) mended"; got != want {
		t.Errorf("the phone shows %q, want %q", got, want)
	}
	look(t, ctx, "capture-defects")
	run[any](t, ctx, `(async () => {`+helpers+`mode("defect"); scrollTo(0, 0);})()`)
	look(t, ctx, "capture-defect")
	s.App.Photos = &app.PhotoQuota{Site: 1} // no photo of anybody today
	server.start()
	until(t, ctx, `(await VisitSync.round(location.hash.slice(1)), document.getElementById("kept").textContent.startsWith("2 entries are only on this phone"))`)
	if told := run[string](t, ctx, `document.getElementById("trouble").textContent`); !strings.Contains(told, "nothing is lost") {
		t.Errorf("of a photo that is not kept today the phone says %q", told)
	}
	server.stop()
	s.App.Photos = app.NewPhotoQuota()
	server.start()
	until(t, ctx, `(await VisitSync.round(location.hash.slice(1)), document.getElementById("kept").textContent === "All is handed in.")`)
	if again := run[string](t, ctx, `(async () => {`+helpers+`return shown();})()`); again != got {
		t.Errorf("handed in, the phone shows %q, before %q", again, got)
	}
	p := surveyOf(t, s).Register.Point(d.Point.ID)
	var folded []string
	for _, d := range p.Defects {
		if d.Waits() {
			folded = append(folded, fmt.Sprintf("%s (%s) %s", sootline.Joined(string(d.Nature), d.Cause, d.Text), d.Grade, d.State))
		}
	}
	if strings.Join(folded, "; ") != got {
		t.Errorf("the register has %q, the phone %q", folded, got)
	}
	last := p.Defects[len(p.Defects)-1]
	if len(last.Photos) != 1 {
		t.Fatalf("the defect has photos %v", last.Photos)
	}
	if _, err := s.App.Photo(t.Context(), last.Photos[0]); err != nil {
		t.Error(err)
	}
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(server.at("127.0.0.1", defectLineOf(surveyOf(t, s), last).Address)), chromedp.WaitVisible("#story"))
	look(t, ctx, "defect")
	do(t, ctx, chromedp.Navigate(server.at("127.0.0.1", site+"/defects")), chromedp.WaitVisible("#open"))
	look(t, ctx, "defects")
	do(t, ctx, chromedp.Navigate(server.at("127.0.0.1", pointAddress(surveyOf(t, s), p))), chromedp.WaitVisible("#story"))
	keep(t, ctx, "point-defects")
}
