package web

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
)

// TestPhoneMeasures writes down what meters show of a loop, without network: as they show it. What cannot be is refused there
// and then, in words; what was kept is in the log once it is handed in, and is taken back on the phone like a reading.
func TestPhoneMeasures(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	ctx, _ := startPhone(t, t.TempDir())
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	server.stop()
	const helpers = `const $ = id => document.getElementById(id), wait = ms => new Promise(done => setTimeout(done, ms));
		const mine = async () => (await VisitStore.all("entries")).length;
		const kept = async work => { const before = await mine(); await work(); for (let i = 0; await mine() === before; i++) { if (i > 400) throw new Error("not kept: " + $("trouble").textContent); await wait(5); } await wait(30); };
		const more = () => { document.querySelector("[data-mode=more]").click(); $("meters").open = true; };
		const field = (key, text) => { $("meterfields").querySelector("[data-key=" + key + "]").value = text; };
		const press = () => document.querySelector("[data-do=measured]").click();
		const refused = async (key, text) => { const before = await mine(); field(key, text); press(); await wait(60); const said = $("trouble").textContent; if ($("trouble").hidden || await mine() !== before) throw new Error(key + " " + text + " is taken"); field(key, ""); $("trouble").hidden = true; return said; };`
	told := run[[]string](t, ctx, `(async () => {`+helpers+`
		more();
		const told = [await refused("text", "nothing"), await refused("out_volts", "-23 V"), await refused("far_volts", "230"), await refused("plus_ohms", "x"), await refused("rest_ma", ">5")];
		await kept(() => { field("plus_ohms", "2.1 ohm"); field("plus_earth_mohm", ">500"); field("test_volts", "500"); field("occasion", "service"); press(); });
		more();
		await kept(() => { field("rest_ma", "12,4"); press(); });
		told.push($("metersdone").textContent);
		return told;
	})()`)
	for i, want := range []string{"at least one", "reversed polarity", "dangerous", "as the meter shows it", "as the meter shows it", "2.1 ohm"} {
		if !strings.Contains(told[i], want) {
			t.Errorf("the phone says %q, wanted %q", told[i], want)
		}
	}
	run[any](t, ctx, `(async () => {`+helpers+`more(); scrollTo(0, 0);})()`)
	look(t, ctx, "capture-measured")
	run[any](t, ctx, `(async () => {`+helpers+`
		more();
		await kept(() => [...$("metersdone").children].find(line => line.textContent.includes("12,4")).querySelector("button").click());
	})()`)
	server.start()
	until(t, ctx, `(await VisitSync.round(location.hash.slice(1)), document.getElementById("kept").textContent === "All is handed in.")`)
	r := surveyOf(t, s).Register
	loops := r.LoopsMeasured()
	if len(loops) != 1 || len(r.Measured(loops[0])) != 1 {
		t.Fatalf("%v were measured: %+v", loops, r.Measured(loops[0]))
	}
	m := r.Measured(loops[0])[0]
	if m.PlusOhms == nil || *m.PlusOhms != 2.1 || m.PlusEarth == nil || *m.PlusEarth != 500 || !m.PlusEarthOver || m.Occasion != sootline.AtService {
		t.Errorf("%+v", m)
	}
}

// TestPhoneReadsMetersAlike: what the phone refuses of a reading the log refuses, and what it takes the log takes.
func TestPhoneReadsMetersAlike(t *testing.T) {
	s, site := withDemo(t, realTime)
	b := visit(t, s)
	openAt(t, b, site, nil)
	pack := packOf(t, b, site)
	type typed struct{ Key, Text string }
	var all []typed
	for _, kind := range pack.Kinds {
		if kind.Kind != string(sootline.MeasuredKind) {
			continue
		}
		for _, f := range kind.Fields {
			for _, text := range []string{"2.1", "2,1", ">500", "-23", "140", "59.9 V", "60 V", "2 kohm", "x", "1 2"} {
				if f.Typed != "" && !f.Seldom {
					all = append(all, typed{f.Key, text})
				}
			}
		}
	}
	kinds, err := json.Marshal(pack)
	if err != nil {
		t.Fatal(err)
	}
	list, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.Navigate(address+"/capture"))
	said := run[[]string](t, ctx, `(async () => { const pack = `+string(kinds)+`, fields = pack.kinds.find(k => k.kind === "measured").fields;
		return `+string(list)+`.map(one => VisitMeters.wrong(fields.find(f => f.key === one.Key), one.Text)); })()`)
	refused := 0
	for i, one := range all {
		form := sootline.Form{"panel": "1", "loop": "1", "rest_ma": "1"}
		form[one.Key] = one.Text
		body, err := sootline.BodyOf(sootline.MeasuredKind, form)
		if err == nil {
			at := s.App.Now()
			e := sootline.Entry{ID: sootline.DerivedID(at, []byte(one.Key)), Site: sootline.DerivedID(at, []byte(one.Key)), At: at, Noted: at, Station: "phone", Body: body}
			err = e.CheckNew()
		}
		if (said[i] == "") != (err == nil) {
			t.Errorf("%s %q: the phone says %q, the log %v", one.Key, one.Text, said[i], err)
		}
		if err != nil {
			refused++
		}
	}
	if len(all) < 50 || refused < 20 {
		t.Errorf("%d readings, %d refused", len(all), refused)
	}
}
