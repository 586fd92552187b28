package web

import (
	"strings"
	"testing"
)

// TestPhotoRefusedOnPhone: a picture that the server refuses keeps no other entry from being
// handed in; its own stays on the phone, with the reason.
func TestPhotoRefusedOnPhone(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	ctx, _ := startPhone(t, t.TempDir())
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	said := run[string](t, ctx, `(async () => {
		const site = location.hash.slice(1), pack = await VisitStore.get("packs", site), at = VisitSync.now();
		const note = (i, body) => ({id: VisitStore.newID(at + i), site, visit: pack.visit, at: at + i, kind: "note", body, group: "x", state: 0, point: pack.points[0].id});
		const hash = "0".repeat(64);
		await VisitStore.keep([note(0, {text: "with a picture", photo: hash}), note(1, {text: "without"})], {hash, blob: new Blob(["no picture"])});
		await VisitSync.round(site);
		return (await VisitStore.all("entries")).sort((a, b) => a.at - b.at).map(e => e.state + " " + (e.why ?? "")).join("; ");
	})()`)
	if !strings.HasPrefix(said, "2 ") || !strings.Contains(said, "JPEG") || !strings.HasSuffix(said, "; 1 ") {
		t.Errorf("the entries are %q", said)
	}
}
