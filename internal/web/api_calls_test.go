package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"os"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/papers"
)

// apiCall is a request to an operation, and the status that each role gets.
type apiCall struct {
	address string // after the root
	body    func(i int) (kind, body string)
	want    [3]int // stranger, technician, manager
}

func apiCalls(t *testing.T, s *Server) map[string]apiCall {
	t.Helper()
	survey := surveyOf(t, s)
	site := "/sites/" + survey.Register.Site.ID.String()
	point := aSmokePoint(t, survey).ID.String()
	theirs := *s.App // what a technician wrote, who may amend it
	theirs.Who = sootline.Actor{Name: "T. Tech", Role: sootline.Technician, Station: "server"}
	entry := func(body sootline.Body) string {
		e, err := theirs.AddEntry(t.Context(), survey.Register.Site.ID, app.Note{Point: point, Body: body})
		if err != nil {
			t.Fatal(err)
		}
		return site + "/log/entries/" + e.ID.String()
	}
	question := survey.Asked()[0].Key
	first := survey.Register.Defects()[0]
	defect, at := first.Name, first.Point.ID.String()
	log, err := os.CreateTemp(t.TempDir(), "log")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.App.Export(t.Context(), survey.Register.Site.ID, log); err != nil {
		t.Fatal(err)
	}
	exported, err := os.ReadFile(log.Name())
	if err != nil {
		t.Fatal(err)
	}
	offer, err := s.App.Offer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	parcel, err := offer.Pack()
	if err != nil {
		t.Fatal(err)
	}
	read, write, manage := [3]int{401, 200, 200}, [3]int{401, 200, 200}, [3]int{401, 403, 200}
	text := func(format string) func(int) (string, string) {
		return func(int) (string, string) {
			return "application/json", strings.ReplaceAll(format, "NEW", s.newID())
		}
	}
	upload := func(field, name, content string) func(int) (string, string) {
		return func(int) (string, string) { return multipartOf(t, field, name, content) }
	}
	draft := draftCode(t, s)
	newPerson := func(name string) string {
		if err := s.App.AddPerson(t.Context(), name, sootline.Technician, password); err != nil && sootline.ErrorCode(err) != sootline.Conflict {
			t.Fatal(err)
		}
		return name
	}
	newToken := func(name string) string {
		if _, err := s.App.AddToken(t.Context(), app.NewToken{Name: name, Role: sootline.Reader, Until: today.AddDate(0, 1, 0)}); err != nil {
			t.Fatal(err)
		}
		return name
	}
	planned := func(i int) (string, string) {
		if i == 0 {
			return "", ""
		}
		at := *s.App
		at.Who.Name = [...]string{"T. Tech", "M. Manager"}[i-1]
		plans, err := at.PlanNumbers(t.Context(), survey.Register.Site.ID, "1.2", app.NumberStyle{By: "zone", Spares: 9, Spread: true, Afresh: true})
		if err == nil {
			_, err = at.AcceptNumbers(t.Context(), survey.Register.Site.ID, plans)
		}
		if err != nil {
			t.Fatal(err)
		}
		return "", ""
	}
	return map[string]apiCall{
		"list-sites": {"/sites", nil, read},
		"add-site": {"/sites", func(i int) (string, string) {
			return "application/json", fmt.Sprintf(`{"id":%q,"name":"Mill %d","loops":[{"loop":"1"}]}`, s.newID(), i)
		}, manage},
		"make-demo":       {"/demo", nil, manage},
		"show-site":       {site, nil, read},
		"judge-site":      {site + "/judged?on=2025-06-01", nil, read},
		"check-site":      {site + "/findings", nil, read},
		"list-types":      {site + "/types", nil, read},
		"add-point":       {site + "/points", text(`{"id":"NEW","loop":"1.1","type":"Snoddle","location":"Porch"}`), write},
		"move-point":      {site + "/points/1.1.011/move", text(`{"id":"NEW","loop":"1.1","number":"119","sure":true}`), [3]int{401, 200, 422}}, // then it is there
		"describe-points": {site + "/points/described", text(`{"id":"NEW","points":["1.1.012"],"location":"Porch"}`), [3]int{401, 200, 422}},    // then it is so
		"remove-points":   {site + "/points/removed", text(`{"id":"NEW","points":["1.1.014"],"why":"the shed is gone"}`), [3]int{401, 200, 404}},
		"list-points":     {site + "/points?loop=1.2&q=room&limit=20", nil, read},
		"show-point":      {site + "/points/" + point, nil, read},
		"list-questions":  {site + "/questions", nil, read},
		"answer-question": {site + "/questions/" + question, text(`{"id":"NEW","yes":false,"why":"a window stood open"}`), [3]int{401, 200, 409}},
		"list-defects":    {site + "/defects?all=true&point=" + at, nil, read},
		"show-defect":     {site + "/defects/" + defect, nil, read},
		"add-defect":      {site + "/defects", text(`{"id":"NEW","body":{"nature":"damage","grade":"minor","text":"painted over"}}`), write},
		"step-defect":     {site + "/defects/" + defect + "/steps", text(`{"id":"NEW","kind":"followed","body":{"told":"site office"}}`), write},
		"list-due":        {site + "/due", nil, read},
		"list-visits":     {site + "/visits", nil, read},
		"plan-visit":      {site + "/visits/plan?minutes=240&order=Bakery", nil, read},
		"rate-alarms":     {site + "/alarms?on=2025-12-31", nil, read},
		"plan-numbers":    {site + "/numbers/plan?loop=1.2&by=zone&spares=4", nil, read},
		"accept-numbers":  {site + "/numbers/plan?loop=1.2", nil, write},
		"open-bench": {site + "/bench", func(i int) (string, string) {
			return "application/json", fmt.Sprintf(`{"id":%q,"name":"Run %d","places":[%q],"all":true,"sure":true}`, s.newID(), i, at)
		}, write},
		"show-bench":           {site + "/bench/Run%202", nil, read},
		"bench-device":         {site + "/bench/Run%202/devices", text(`{"id":"NEW","outcome":"skipped","point":"` + at + `","reason":"later"}`), write},
		"undo-bench":           {site + "/bench/Run%202/undo", text(`{}`), write},
		"order-numbers":        {site + "/numbers/order?loop=1.1", nil, read},
		"draw-cards":           {site + "/numbers/cards?loop=1.1", nil, read},
		"say-how-set":          {site + "/types/how", text(`{"type":"Plimbow","how":"switches 8"}`), manage},
		"compare-settings":     {site + "/numbers/settings?loop=1.1", nil, read},
		"list-wishes":          {site + "/numbers/wanted", nil, read},
		"note-device":          {site + "/numbers/device", text(`{"id":"NEW","point":"` + at + `","settings":{"blink":"off"},"sure":true}`), write},
		"undo-plan":            {site + "/numbers/plan", planned, write},
		"halve-search":         {site + "/numbers/search?loop=1.1&two=true", nil, read},
		"explain-found":        {site + "/numbers/found?loop=1.1&note=true", upload("file", "panel.csv", "address,type\n1,Wuffen\n2,Wuffen\n300,Wuffen\n"), write},
		"solve-loops":          {site + "/loops", nil, read},
		"solve-loop":           {site + "/loops/1.1/power?add=2&type=Snoddle&fault=break@IN&pairs=true&isolator=1.1.010", nil, read},
		"solve-loop-with-file": {site + "/loops/1.1/power", text(`{"out":{"volts":22}}`), read},
		"design-loops":         {site + "/loops/design", text(`{"table":"area,floor,m2,Snoddle\nTest wing,0,90,4\n","loops":1,"mm2":1.5}`), read},
		"write-design":         {site + "/loops/design/write", text(`{"table":"area,floor,m2,Snoddle\nTest wing,0,90,4\n","loops":1,"mm2":1.5}`), manage},
		"advise-loop":          {site + "/loops/1.1/advice?type=Snoddle", nil, read},
		"find-short":           {site + "/loops/1.1/short?out_ohms=6.4&in_ohms=11.2", nil, read},
		"find-break":           {site + "/loops/1.1/break?out_nf=36&in_nf=54", nil, read},
		"find-earth":           {site + "/loops/1.1/earth?test=murray&p=668&q=332", nil, read},
		"lead-fault":           {site + "/loops/1.1/find?panel=says+open&told=out%2Flist%3A+answers+1-4", nil, read},
		"note-fault":           {site + "/loops/1.1/find", text(`{"id":"NEW","grade":"serious","panel":"says double; silent 3; twice 10","told":["both/list: says double; silent 3; twice 10"]}`), [3]int{401, 200, 409}}, // the same fault is written down once
		"list-standby-rules":   {"/standby/rules", nil, read},
		"size-battery":         {site + "/standby", text(`{"panel":"1","loads":[{"name":"panel","count":1,"rest_ma":120,"alarm_ma":250}],"coldest":10}`), read},
		"state-loads":          {site + "/standby/loads", text(`{"id":"NEW","panel":"1","own_rest_ma":120,"own_alarm_ma":250,"loads":[{"part":"sounders","name":"bells","count":2,"alarm_ma":350}]}`), manage},
		"judge-battery":        {"/standby/wear?rated=7&amps=0.7&hours=7.2&years=3", nil, read},
		"list-sources":         {site + "/sources", nil, read},
		"keep-source":          {site + "/sources/printer", text(`{"id":"NEW","via":"tcp","address":"192.0.2.7:4001"}`), manage},
		"show-heard":           {site + "/sources/printer/lines", nil, read},
		"teach-source":         {site + "/sources/printer/lesson", text(`{"from":0,"lines":[{"first":1,"parts":[{"role":"day","value":"12.03.26"}]}]}`), [3]int{401, 422, 422}}, // nothing was heard
		"read-places":          {site + "/places", text(`{"via":"modbus","text":"point,source\n1.1.001,3:4:0\n"}`), [3]int{401, 403, 200}},
		"read-again":           {site + "/sources/printer/again", text(`{}`), [3]int{401, 404, 404}}, // nobody taught it
		"take-back-lesson":     {site + "/sources/nosuch/lesson/back", text(`{"id":"NEW"}`), [3]int{401, 404, 404}},
		"drop-source":          {site + "/sources/nosuch/drop", text(`{"id":"NEW"}`), [3]int{401, 403, 404}},
		"list-kinds":           {"/kinds", nil, read},
		"read-log":             {site + "/log?kind=read&kind=sheet&from=2020-01-01&to=2026-01-01&limit=1000", nil, read},
		"show-entry":           {entry(sootline.Note{Text: "by hand"}), nil, read},
		"verify-log":           {site + "/log/verification", nil, read},
		"export-log":           {site + "/log/export", nil, read},
		"import-log":           {"/log/import", func(int) (string, string) { return "application/jsonl", string(exported) }, manage},
		"add-entry":            {site + "/log", text(`{"id":"NEW","kind":"read","point":"` + point + `","body":{"samples":[25,26]}}`), write},
		"correct-entry": {entry(sootline.Read{Samples: []float64{240}}) + "/correction", func(i int) (string, string) {
			return "application/json", fmt.Sprintf(`{"id":%q,"why":"misread","body":{"samples":[%d]}}`, s.newID(), 20+i)
		}, write},
		"withdraw-entry":     {entry(sootline.Cleaned{}) + "/withdrawal", text(`{"id":"NEW","why":"another point"}`), [3]int{401, 200, 409}},
		"take-listings":      {site + "/intake?preview=true", upload("files", "types.csv", "type,kind,low,high\nFernbeck,smoke,18,36\n"), write},
		"list-takes":         {site + "/intake", nil, [3]int{401, 200, 200}},
		"list-changed-apart": {site + "/apart", nil, read},
		"settle-fact":        {site + "/apart", text(`{"id":"NEW","entry":"` + s.newID() + `"}`), [3]int{401, 404, 404}},
		"exchange":           {"/exchange", func(int) (string, string) { return "application/octet-stream", string(parcel) }, write},
		"undo-take":          {site + "/intake/undo", text(`{"take":"2001-01-01-1","preview":true}`), [3]int{401, 404, 404}},
		"list-aliases":       {site + "/aliases", nil, read},
		"state-facts":        {site + "/facts", text(`{"id":"NEW","responsible":"R. Person","category":"L2"}`), manage},
		"list-issued":        {site + "/papers", nil, read},
		"list-photos":        {site + "/photos", nil, read},
		"list-remedies":      {site + "/remedies", nil, read},
		"issue-paper":        {site + "/papers", text(`{"id":"NEW","paper":"servicing","format":"html"}`), write},
		"verify-paper":       {site + "/papers/verification", text(`{"code":"` + draft + `"}`), write},
		"list-people":        {"/people", nil, manage},
		"put-person": {"/people", func(int) (string, string) {
			return "application/json", `{"name":"N. ` + strings.NewReplacer("-", "").Replace(s.newID()) + `","role":"technician","password":"` + password + `"}`
		}, manage},
		"change-role":   {"/people/" + newPerson("role") + "/role", text(`{"role":"reader"}`), manage},
		"change-sites":  {"/people/" + newPerson("bound") + "/sites", text(`{"customers":["Larch & Sons"]}`), manage},
		"invite-person": {"/people/invitations", text(`{"name":"I. Invited","role":"customer"}`), manage},
		"list-tokens":   {"/tokens", nil, manage},
		"add-token": {"/tokens", func(int) (string, string) {
			return "application/json", `{"name":"P ` + strings.NewReplacer("-", "").Replace(s.newID()) + `","until":"` + today.AddDate(0, 1, 0).Format("2006-01-02T15:04:05Z07:00") + `"}`
		}, manage},
		"remove-token":         {"/tokens/" + newToken("old"), nil, manage},
		"change-password":      {"/people/" + newPerson("password") + "/password", text(`{"password":"eleven loud kettles"}`), manage},
		"sign-out-person":      {"/people/" + newPerson("out") + "/sign-out", nil, manage},
		"remove-person":        {"/people/" + newPerson("gone"), nil, manage},
		"list-security-events": {"/security-events?limit=5", nil, manage},
		"list-sessions":        {"/account/sessions", nil, read},
		"end-session":          {"/account/sessions/none", nil, [3]int{401, 404, 404}},
		"sign-out-everywhere":  {"/account/sign-out", nil, read},
		"change-own-password":  {"/account/password", text(`{"present":"wrong","password":"eleven loud kettles"}`), [3]int{401, 422, 422}},
	}
}

// draftCode is the code of a draft of the site.
func draftCode(t *testing.T, s *Server) string {
	t.Helper()
	survey := surveyOf(t, s)
	d, err := papers.Make(t.Context(), s.App, survey.Register.Site.ID, papers.Wish{Kind: "schedule", On: s.App.Now()})
	if err != nil {
		t.Fatal(err)
	}
	return d.Code
}

func multipartOf(t *testing.T, field, name, content string) (kind, body string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	f, err := w.CreateFormFile(field, name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write([]byte(content)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), b.String()
}
