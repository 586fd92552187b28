package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline"
)

// routeCall is a request to a route, and the status that each role gets.
type routeCall struct {
	address string
	body    func() string
	want    [3]int // stranger, technician, manager
}

// aDesign is a design as its form hands it in.
const aDesign = "table=area%2Cfloor%2Cm2%2CSnoddle%0ATest+wing%2C0%2C90%2C4%0A&spare=20"

// routeCalls has a line for every route.
func routeCalls(t *testing.T, s *Server, site string) map[string]routeCall {
	t.Helper()
	survey := surveyOf(t, s)
	point := pointAddress(survey, survey.Register.Points()[0])
	defect := site + "/defect/" + survey.Register.Defects()[0].ID.String()
	facts := anEntry(t, s, site, sootline.AreaKind, sootline.SheetKind)
	entry := func() string {
		return url.Values{"id": {s.newID()}, "kind": {"note"}, "text": {"seen"}}.Encode()
	}
	const ok, to, denied, unknown, missing, wrong, changed = http.StatusOK, http.StatusSeeOther, http.StatusForbidden, http.StatusUnauthorized, http.StatusNotFound, http.StatusUnprocessableEntity, http.StatusConflict
	return map[string]routeCall{
		"GET /{$}":                                     {"/", nil, [3]int{to, ok, ok}},
		"POST /demo":                                   {"/demo", nil, [3]int{unknown, denied, to}},
		"POST /seen":                                   {"/seen", nil, [3]int{unknown, to, to}},
		"GET /site/{site}":                             {site, nil, [3]int{to, ok, ok}},
		"GET /site/{site}/loop":                        {site + "/loop", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/points":                      {site + "/points?q=smoke&sort=value&way=down", nil, [3]int{to, ok, ok}},
		"GET /sites/add":                               {"/sites/add", nil, [3]int{to, denied, ok}},
		"POST /sites/add":                              {"/sites/add", func() string { return "name=&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /find":                                    {"/find?q=smoke", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/points":                     {site + "/points", func() string { return "do=describe&zone=9&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/points/add":                  {site + "/points/add", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/points/add":                 {site + "/points/add", func() string { return "loop=1.1&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/undo":                       {site + "/undo", func() string { return "deed=" + s.newID() + "&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/point/{point}/place":         {point + "/place?do=move", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/point/{point}/place":        {point + "/place", func() string { return "do=move&loop=9.9&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/settings/rules":              {site + "/settings/rules", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/rules":             {site + "/settings/rules", func() string { return "rules=none&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/questions":                   {site + "/questions", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/questions/{key}":            {site + "/questions/nosuch", func() string { return "answer=no&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/point/{point}":               {point, nil, [3]int{to, ok, ok}},
		"GET /site/{site}/defects":                     {site + "/defects?added=x&point=1.2.003", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/defects":                    {site + "/defects", entry, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/defect/{defect}":             {defect, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/defect/{defect}":            {defect, entry, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/point/{point}":              {point, entry, [3]int{unknown, to, to}},
		"GET /site/{site}/intake":                      {site + "/intake", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/intake":                     {site + "/intake", nil, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/intake/{intake}":             {site + "/intake/" + s.newID(), nil, [3]int{to, missing, missing}},
		"POST /site/{site}/intake/{intake}":            {site + "/intake/" + s.newID(), func() string { return "do=take" }, [3]int{unknown, missing, missing}},
		"POST /site/{site}/intake/undo":                {site + "/intake/undo", func() string { return "take=" + s.newID() }, [3]int{unknown, missing, missing}},
		"POST /site/{site}/settings/alias":             {site + "/settings/alias", func() string { return "of=type&said=lark&means=Larch&sure=1" }, [3]int{unknown, to, to}},
		"GET /site/{site}/intake/{intake}/left/{file}": {site + "/intake/" + s.newID() + "/left/x.csv", nil, [3]int{to, missing, missing}},
		"GET /site/{site}/numbers":                     {site + "/numbers", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/numbers/plan":                {site + "/numbers/plan", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/plan":               {site + "/numbers/plan", func() string { return "shown=nothing&id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"POST /site/{site}/numbers/plan/undo":          {site + "/numbers/plan/undo", func() string { return "shown=nothing&id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"POST /site/{site}/point/{point}/replace":      {point + "/replace", func() string { return "read=x&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/point/{point}/device":       {point + "/device", func() string { return "act=found&other=blink%3Doff&sure=1&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/apart":                       {site + "/apart", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/apart":                      {site + "/apart", func() string { return "entry=" + s.newID() + "&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/settings/wanted":             {site + "/settings/wanted", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/wanted":            {site + "/settings/wanted", func() string { return "area=Bakery&settings=blink%3Doff&sure=1&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/numbers/order":               {site + "/numbers/order", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/order":              {site + "/numbers/order", func() string { return "id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"GET /site/{site}/numbers/cards":               {site + "/numbers/cards", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/numbers/found":               {site + "/numbers/found", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/found":              {site + "/numbers/found", nil, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/numbers/found/{list}":       {site + "/numbers/found/" + s.newID(), nil, [3]int{unknown, missing, missing}},
		"GET /site/{site}/bench":                       {site + "/bench", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/bench":                      {site + "/bench", nil, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/bench/{run}":                 {site + "/bench/" + s.newID(), nil, [3]int{to, ok, ok}},
		"POST /site/{site}/bench/{run}":                {site + "/bench/" + s.newID(), func() string { return `{"act":"undo"}` }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/bench/{run}/pack":            {site + "/bench/" + s.newID() + "/pack", nil, [3]int{to, missing, missing}},
		"GET /bench":                                   {"/bench", nil, [3]int{ok, ok, ok}},
		"GET /site/{site}/settings":                    {site + "/settings", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings":                   {site + "/settings", entry, [3]int{unknown, denied, to}},
		"GET /site/{site}/settings/loop":               {site + "/settings/loop", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/loop":              {site + "/settings/loop", entry, [3]int{unknown, denied, wrong}},
		"POST /site/{site}/settings/supply":            {site + "/settings/supply", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/loads":              {site + "/settings/loads", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/loads":             {site + "/settings/loads", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/area":               {site + "/settings/area", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/area":              {site + "/settings/area", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/how":                {site + "/settings/how", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/how":               {site + "/settings/how", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/type":               {site + "/settings/type", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/type":              {site + "/settings/type", entry, [3]int{unknown, denied, wrong}},
		"GET /people":                                  {"/people", nil, [3]int{to, denied, ok}},
		"POST /people":                                 {"/people", func() string { return "name=X&role=technician" }, [3]int{unknown, denied, wrong}},
		"POST /people/invite":                          {"/people/invite", func() string { return "name=I.+Invited&role=reader" }, [3]int{unknown, denied, ok}},
		"POST /people/token":                           {"/people/token", func() string { return "name=none&do=remove" }, [3]int{unknown, denied, missing}},
		"GET /welcome/{key}":                           {"/welcome/none", nil, [3]int{missing, missing, missing}},
		"POST /welcome/{key}":                          {"/welcome/none", func() string { return "password=a&again=a" }, [3]int{missing, missing, missing}},
		"POST /account/passkey/begin":                  {"/account/passkey/begin", func() string { return "present=wrong" }, [3]int{unknown, wrong, wrong}},
		"POST /account/passkey":                        {"/account/passkey", func() string { return "{}" }, [3]int{unknown, wrong, wrong}},
		"POST /sign-in/passkey/begin":                  {"/sign-in/passkey/begin", nil, [3]int{wrong, wrong, wrong}},
		"POST /sign-in/passkey":                        {"/sign-in/passkey", func() string { return "{}" }, [3]int{wrong, wrong, wrong}},
		"POST /people/change":                          {"/people/change", func() string { return "name=nobody&do=remove" }, [3]int{unknown, denied, missing}},
		"GET /people/journal":                          {"/people/journal", nil, [3]int{to, denied, ok}},
		"GET /people/journal/{format}":                 {"/people/journal/csv", nil, [3]int{to, denied, ok}},
		"GET /backups":                                 {"/backups", nil, [3]int{to, denied, ok}},
		"GET /account":                                 {"/account", nil, [3]int{to, ok, ok}},
		"POST /account":                                {"/account", func() string { return "do=password&password=a&again=b" }, [3]int{unknown, wrong, wrong}},
		"GET /sign-in":                                 {"/sign-in", nil, [3]int{ok, ok, ok}},
		"POST /sign-in":                                {"/sign-in", func() string { return "name=nobody&password=wrong" }, [3]int{422, 422, 422}},
		"POST /look":                                   {"/look", func() string { return "look=dark&back=/" }, [3]int{to, to, to}},
		"GET /static/{file}":                           {"/static/sootline.css", nil, [3]int{ok, ok, ok}},
		"GET /healthz":                                 {"/healthz", nil, [3]int{ok, ok, ok}},
		"GET /metrics":                                 {"/metrics", nil, [3]int{missing, missing, ok}},
		"/":                                            {"/nowhere", nil, [3]int{missing, missing, missing}},
		"POST /sign-out":                               {"/sign-out", nil, [3]int{to, to, to}},
		"GET /site/{site}/power":                       {site + "/power?sort=margin&add=2&type=Snoddle", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/advice":                {site + "/power/advice", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/find":                  {site + "/power/find", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/lead":                  {site + "/power/lead?says=open", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/power/lead":                 {site + "/power/lead", func() string { return "panel=says+open&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/power/design":                {site + "/power/design?" + aDesign, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/power/design":               {site + "/power/design", func() string { return aDesign + "&id=" + s.newID() }, [3]int{unknown, denied, to}},
		"GET /site/{site}/listening":                   {site + "/listening", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/listening":                  {site + "/listening", func() string { return "name=printer&via=none&address=x&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/listening/{source}":          {site + "/listening/printer", nil, [3]int{to, missing, missing}},
		"POST /site/{site}/listening/{source}":         {site + "/listening/printer", func() string { return "do=back&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/battery":                     {site + "/battery", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log":                         {site + "/log?kind=cleaned&from=2025-01-01", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/log":                        {site + "/log", entry, [3]int{unknown, to, to}},
		"GET /site/{site}/log/verify":                  {site + "/log/verify", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/export":                  {site + "/log/export", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/readable":                {site + "/log/readable", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/{entry}":                 {facts, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/log/{entry}":                {facts, func() string { return "do=withdraw&id=" + s.newID() }, [3]int{unknown, denied, to}},
		"/api/v1/":                                     {"/api/v1/nothing", nil, [3]int{missing, missing, missing}},
		"GET /site/{site}/alarms":                      {site + "/alarms?code=is3218:2009&since=2025-06-01&area=Kitchen", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/alarms":                     {site + "/alarms", func() string { return "category=unwanted&cause=toast&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/papers":                      {site + "/papers?size=Letter&on=2026-01-15", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/paper/{file}":                {site + "/paper/schedule.csv", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/papers":                     {site + "/papers", nil, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/paper/{file}":               {site + "/paper/schedule.csv", func() string { return "id=" + s.newID() }, [3]int{unknown, ok, ok}},
		"GET /firm/logo":                               {"/firm/logo", nil, [3]int{to, missing, missing}},
		"GET /due":                                     {"/due", nil, [3]int{to, ok, ok}},
		"GET /due.ics":                                 {"/due.ics", nil, [3]int{unknown, ok, ok}},
		"GET /site/{site}/due":                         {site + "/due", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/due.ics":                     {site + "/due.ics?key=wrong", nil, [3]int{unknown, ok, ok}},
		"POST /due/calendar":                           {"/due/calendar", nil, [3]int{unknown, to, to}},
		"GET /site/{site}/visit":                       {site + "/visit?minutes=60", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/visit":                      {site + "/visit", func() string { return "minutes=60" }, [3]int{unknown, 422, 422}},
		"POST /site/{site}/visit/close":                {site + "/visit/close", func() string { return "left=normal" }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/visit/pack":                  {site + "/visit/pack", nil, [3]int{to, denied, denied}},
		"GET /site/{site}/visit/done":                  {site + "/visit/done", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/visit/entries":              {site + "/visit/entries", func() string { return `{"entries":[]}` }, [3]int{unknown, denied, denied}},
		"POST /photo":                                  {"/photo", func() string { return "no picture" }, [3]int{unknown, 422, 422}},
		"GET /photo/{hash}":                            {"/photo/" + strings.Repeat("0", 64), nil, [3]int{to, missing, missing}},
		"GET /capture":                                 {"/capture", nil, [3]int{ok, ok, ok}},
		"GET /sw.js":                                   {"/sw.js", nil, [3]int{ok, ok, ok}},
		"GET /phones":                                  {"/phones", nil, [3]int{to, ok, ok}},
		"POST /phones":                                 {"/phones", nil, [3]int{unknown, ok, ok}},
		"POST /phones/drop":                            {"/phones/drop", func() string { return "station=none" }, [3]int{unknown, missing, missing}},
		"GET /pair":                                    {"/pair?code=none", nil, [3]int{ok, ok, ok}},
		"POST /pair":                                   {"/pair", func() string { return "code=none&name=mine" }, [3]int{422, 422, 422}},
		"GET /trust":                                   {"/trust", nil, [3]int{missing, missing, missing}},
	}
}

// TestEveryRoute goes to every address as a stranger, a technician and a manager.
// A route without a line here is a fault.
func TestEveryRoute(t *testing.T) {
	s, site := withDemo(t, abroad)
	scenarios := routeCalls(t, s, site)
	const to = http.StatusSeeOther
	people := [3]*browser{visit(t, s), signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")}
	var last func()
	for _, route := range s.routes() {
		scenario, known := scenarios[route.pattern]
		if !known {
			t.Errorf("route %s has no scenario", route.pattern)
			continue
		}
		check := func() {
			for i, who := range [...]string{"stranger", "technician", "manager"} {
				method, body := http.MethodGet, ""
				if strings.HasPrefix(route.pattern, "POST") {
					method = http.MethodPost
				}
				if scenario.body != nil {
					body = scenario.body()
				}
				if res := people[i].do(method, scenario.address, body, nil); res.StatusCode != scenario.want[i] {
					t.Errorf("%s as %s gives %d, want %d", route.pattern, who, res.StatusCode, scenario.want[i])
				}
			}
		}
		if route.pattern == "POST /sign-out" {
			last = check
			continue
		}
		check()
	}
	last()
	if res := people[2].do(http.MethodGet, "/", "", nil); res.StatusCode != to {
		t.Errorf("signed out, Today gives %d, want a redirect to signing in", res.StatusCode)
	}
}
