package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"time"

	"sootline"
	"sootline/internal/chart"
)

// asset is a file that pages ask for.
type asset struct {
	content []byte
	version string
}

// readAssets reads the files once, by name: no request ever becomes a path. The
// style of the pictures is that of the room that draws them.
func readAssets(files fs.FS) (map[string]asset, error) {
	names, err := fs.Glob(files, "static/*")
	if err != nil {
		return nil, err
	}
	assets := map[string]asset{}
	for _, name := range names {
		content, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		if name == "static/sootline.css" {
			content = append([]byte(chart.Style()), content...)
		}
		sum := sha256.Sum256(content)
		assets[path.Base(name)] = asset{content, hex.EncodeToString(sum[:6])}
	}
	assets["capture.css"] = together(assets, "sootline.css", "visit.css")
	assets["capture.js"] = together(assets, "bench_value.js", "visit_swap.js", "visit_judge.js", "visit_defects.js", "visit_meters.js", "visit_store.js", "visit_sync.js", "visit_scan.js", "visit_page.js")
	assets["bench.css"] = together(assets, "sootline.css", "visit.css", "bench.css")
	assets["bench.js"] = together(assets, "bench_value.js", "bench_look.js", "bench_hand.js", "bench_run.js", "bench_left.js",
		"visit_store.js", "visit_sync.js", "visit_scan.js", "bench_write.js",
		"bench_draw.js", "bench_typed.js", "bench_clash.js", "bench_show.js", "bench_deeds.js", "bench_keys.js", "bench_move.js", "bench_told.js", "bench_page.js")
	return assets, nil
}

// together puts files one after another, so that the page that needs them all asks
// once: on a slow phone each file costs more than its bytes.
func together(assets map[string]asset, names ...string) asset {
	var all []byte
	for _, name := range names {
		all = append(append(all, assets[name].content...), '\n')
	}
	return asset{all, versionOf(string(all))}
}

// assetAddress is where a page finds a file; another content gives another
// address, so that browsers may keep what they have.
func (s *Server) assetAddress(name string) string {
	return "/static/" + name + "?v=" + s.assets[name].version
}

func (s *Server) giveAsset(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("file")
	file, ok := s.assets[name]
	if !ok {
		return sootline.Errorf(sootline.NotFound, "", "there is no file of that name")
	}
	w.Header().Set("Cache-Control", "no-cache")
	if r.URL.Query().Get("v") == file.version {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if path.Ext(name) == ".webmanifest" {
		w.Header().Set("Content-Type", "application/manifest+json") // Go's own table lacks it
	}
	w.Header().Set("ETag", `"`+file.version+`"`)
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(file.content))
	return nil
}
