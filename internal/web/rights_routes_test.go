package web

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/worlds"
)

// writingRoutes are the routes and operations that write, with the kinds of entry
// that they write; none: what they write is no entry.
var writingRoutes = map[string][]string{
	"POST /demo":                              {"opened", "fitted", "sheet", "read"},
	"POST /seen":                              nil,
	"POST /due/calendar":                      nil,
	"POST /phones":                            nil,
	"POST /phones/drop":                       nil,
	"POST /pair":                              nil,
	"POST /photo":                             nil,
	"POST /people":                            nil,
	"POST /people/change":                     nil,
	"POST /people/invite":                     nil,
	"POST /people/token":                      nil,
	"POST /welcome/{key}":                     nil,
	"POST /account/passkey/begin":             nil,
	"POST /account/passkey":                   nil,
	"POST /sign-in/passkey/begin":             nil,
	"POST /sign-in/passkey":                   nil,
	"api add-token":                           nil,
	"api remove-token":                        nil,
	"api invite-person":                       nil,
	"api change-sites":                        nil,
	"POST /account":                           nil,
	"api change-role":                         nil,
	"api change-password":                     nil,
	"api change-own-password":                 nil,
	"api sign-out-person":                     nil,
	"api remove-person":                       nil,
	"api end-session":                         nil,
	"api sign-out-everywhere":                 nil,
	"POST /sign-in":                           nil,
	"POST /sign-out":                          nil,
	"POST /look":                              nil,
	"POST /site/{site}/point/{point}":         {"read", "tested"},
	"POST /site/{site}/defects":               {"defect"},
	"POST /site/{site}/power/lead":            {"defect"},
	"POST /sites/add":                         {"opened", "loop", "service"},
	"POST /site/{site}/points":                {"moved", "removed"},
	"POST /site/{site}/points/add":            {"fitted", "addressed"},
	"POST /site/{site}/point/{point}/place":   {"moved", "removed", "addressed"},
	"POST /site/{site}/undo":                  {"withdrawn"},
	"POST /site/{site}/settings/rules":        {"service"},
	"POST /site/{site}/defect/{defect}":       {"followed", "mended", "retested"},
	"POST /site/{site}/visit":                 {"visit"},
	"POST /site/{site}/visit/close":           {"visit", "restored"},
	"POST /site/{site}/visit/entries":         {"tested", "read", "corrected", "withdrawn"},
	"POST /site/{site}/questions/{key}":       {"note", "cleaned", "replaced"},
	"POST /site/{site}/intake":                nil,
	"POST /site/{site}/intake/{intake}":       {"fitted", "read", "tested", "sheet", "alias", "taken"},
	"POST /site/{site}/intake/undo":           {"withdrawn", "taken"},
	"POST /site/{site}/settings/alias":        {"alias"},
	"api undo-take":                           {"withdrawn", "taken"},
	"POST /site/{site}/bench":                 {"bench"},
	"POST /site/{site}/bench/{run}":           {"bench", "benched", "fitted", "replaced", "addressed", "set", "read", "withdrawn"},
	"POST /site/{site}/numbers/plan":          {"addressed"},
	"POST /site/{site}/numbers/plan/undo":     {"withdrawn"},
	"POST /site/{site}/point/{point}/replace": {"replaced", "addressed", "set", "read", "defect"},
	"POST /site/{site}/point/{point}/device":  {"addressed", "set"},
	"POST /site/{site}/settings/wanted":       {"wanted", "set", "withdrawn"},
	"POST /site/{site}/numbers/order":         {"addressed"},
	"POST /site/{site}/numbers/found":         nil,
	"POST /site/{site}/numbers/found/{list}":  {"addressed"},
	"POST /site/{site}/alarms":                {"alarm"},
	"POST /site/{site}/listening":             {"listening"},
	"POST /site/{site}/listening/{source}":    {"listening", "corrected"},
	"api keep-source":                         {"listening"},
	"api drop-source":                         {"listening"},
	"api teach-source":                        {"listening"},
	"api take-back-lesson":                    {"listening"},
	"api read-again":                          {"corrected", "alarm", "fault", "disabled", "restored", "tested", "note"},
	"api read-places":                         nil,
	"POST /site/{site}/log":                   {"note", "tested", "visit"},
	"POST /site/{site}/log/{entry}":           {"corrected", "withdrawn"},
	"POST /site/{site}/settings":              {"opened"},
	"POST /site/{site}/papers":                nil, // it holds a paper against the book
	"POST /site/{site}/paper/{file}":          {"issued"},
	"api issue-paper":                         {"issued"},
	"api state-facts":                         {"opened"},
	"api verify-paper":                        nil,
	"POST /site/{site}/settings/loop":         {"loop"},
	"POST /site/{site}/settings/supply":       {"supply"},
	"POST /site/{site}/settings/area":         {"area"},
	"POST /site/{site}/settings/loads":        {"loads"},
	"api state-loads":                         {"loads"},
	"POST /site/{site}/settings/type":         {"sheet"},
	"POST /site/{site}/settings/how":          {"sheet"},
	"api say-how-set":                         {"sheet"},
	"/api/v1/":                                nil, // its operations follow
	"api add-entry":                           {"note", "tested", "visit"},
	"api correct-entry":                       {"corrected"},
	"api withdraw-entry":                      {"withdrawn"},
	"api size-battery":                        nil,
	"api solve-loop-with-file":                nil,
	"api design-loops":                        nil,
	"POST /site/{site}/power/design":          {"supply", "area"},
	"api write-design":                        {"supply", "area"},
	"api explain-found":                       nil,
	"api add-defect":                          {"defect"},
	"api add-point":                           {"fitted", "addressed"},
	"api move-point":                          {"moved", "addressed"},
	"api describe-points":                     {"moved"},
	"api remove-points":                       {"removed"},
	"api note-fault":                          {"defect"},
	"api step-defect":                         {"followed", "mended", "retested"},
	"api take-listings":                       {"fitted", "read", "tested", "sheet", "alias", "taken"},
	"api import-log":                          {"pinned"},
	"POST /site/{site}/apart":                 {"addressed", "set", "moved", "opened"},
	"api settle-fact":                         {"addressed", "set", "moved", "opened"},
	"api exchange":                            {"addressed", "read", "tested"},
	"api accept-numbers":                      {"addressed"},
	"api undo-plan":                           {"withdrawn"},
	"api open-bench":                          {"bench"},
	"api bench-device":                        {"benched", "fitted", "replaced", "addressed", "set", "read"},
	"api undo-bench":                          {"withdrawn"},
	"api note-device":                         {"addressed", "set"},
	"api put-person":                          nil,
	"api answer-question":                     {"note", "cleaned", "replaced"},
	"api add-site":                            {"opened", "loop"},
	"api make-demo":                           {"opened", "fitted", "sheet", "read"},
}

// TestWritingRoutesAreInTheTable: a route or an operation that writes and is not in
// the table is a fault; none turns away by its role whom the table of rights lets
// write; and a reader, and a reader's phone, get through none.
func TestWritingRoutesAreInTheTable(t *testing.T) {
	inMemory(t)
	w := newRightsWorld(t)
	site := w.site("note")
	fill := strings.NewReplacer("{site}", site.id.String(), "{point}", site.points[0].String(), "{defect}", site.defect.String(), "{entry}", site.defect.String(),
		"{intake}", w.s.newID(), "{list}", w.s.newID(), "{run}", w.s.newID(), "{key}", "nosuch", "{loop}", "1.1")
	seen := map[string]bool{}
	check := func(name, method, address string, needs sootline.Role) {
		kinds, known := writingRoutes[name]
		seen[name] = true
		if !known {
			t.Errorf("%s may write, and is not in the table of routes", name)
		}
		door := "page"
		if strings.HasPrefix(name, "api ") {
			door = "api"
		}
		if len(kinds) > 0 && !slices.ContainsFunc(kinds, func(kind string) bool {
			row, _ := worlds.Answer(w.table, kind, "write", "-", string(needs), door)
			return row.Allowed
		}) {
			t.Errorf("%s is for the role of %s, which may write none of %v", name, needs, kinds)
		}
		if !needs.May(sootline.Technician) {
			return // what readers may: sums, and their own account
		}
		for _, b := range []*browser{w.people["reader"], w.phones["reader"]} {
			if res := b.do(method, fill.Replace(address), "", nil); res.StatusCode != http.StatusForbidden && res.StatusCode != http.StatusUnauthorized {
				t.Errorf("%s by a reader gives %d", name, res.StatusCode)
			}
		}
	}
	for _, route := range w.s.routes() {
		method, address, _ := strings.Cut(route.pattern, " ")
		if method != http.MethodGet && route.pattern != "/" && route.pattern != "/api/v1/" {
			check(route.pattern, method, address, route.needs)
		}
	}
	seen["/api/v1/"] = true
	for path, item := range w.s.api.OpenAPI().Paths {
		for method, op := range map[string]*huma.Operation{http.MethodPost: item.Post, http.MethodPut: item.Put, http.MethodDelete: item.Delete, http.MethodPatch: item.Patch} {
			if op != nil {
				needs, _ := op.Metadata["needs"].(sootline.Role)
				check("api "+op.OperationID, method, api.Root+path, needs)
			}
		}
	}
	for name := range writingRoutes {
		if !seen[name] {
			t.Errorf("there is no route %s", name)
		}
	}
}
