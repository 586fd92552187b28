package web
import ("testing";"strings";"fmt";"github.com/chromedp/chromedp"; "github.com/chromedp/cdproto/storage")
func TestDebugPhone(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	ctx, _ := startPhone(t, t.TempDir())
	server := newOutage(t, s)
	capture := server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/"))
	openPhone(t, ctx, capture)
	for _, q := range []float64{1, 100000} {
	quota := storage.OverrideQuotaForOriginParams{Origin: server.at("127.0.0.1", "/"), QuotaSize: &q}
	_, err := chromedp.Call(ctx, storage.OverrideQuotaForOrigin, quota)
	fmt.Println(err, run[string](t, ctx, `navigator.storage.estimate().then(JSON.stringify)`))
	fmt.Println(run[string](t, ctx, `VisitStore.put("facts", "x".repeat(100), "k").then(() => "kept", e => e.name)`))
	fmt.Println(run[string](t, ctx, `VisitStore.put("facts", crypto.getRandomValues(new Uint8Array(60000)), "k").then(() => "kept", e => e.name)`))
	fmt.Println(run[string](t, ctx, `VisitStore.put("photos", new Blob([new Uint8Array(3000000)]), "k").then(() => "kept", e => e.name)`))
	}
}
