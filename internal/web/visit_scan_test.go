package web

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/piglig/go-qr"
)

// TestScanLabel holds the label of a point before the phone's camera: a film of the
// code, by the fake camera of Chromium. Its page jumps to the point, with the server
// stopped; the reader is jsQR, since Chromium for Linux has none of its own.
func TestScanLabel(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	pack := packOf(t, visit(t, s), site)
	want := pack.Points[len(pack.Points)/2]
	film := filepath.Join(t.TempDir(), "label.y4m")
	writeFilm(t, film, "https://desk.local:8344"+site+"/point/"+want.ID)
	ctx, _ := startPhone(t, t.TempDir(), chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", film))
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	server.stop()
	run[any](t, ctx, `document.getElementById("jump").click(), document.getElementById("scan").click()`)
	until(t, ctx, fmt.Sprintf(`document.getElementById("ref").textContent === %q && document.getElementById("where").textContent === %q`, want.Ref, want.Where))
	if on := run[bool](t, ctx, `document.getElementById("camera").srcObject !== null`); on {
		t.Error("the camera is still on")
	}
	// The same point by what people type: its whole reference, and its number where
	// no other point has it.
	other := pack.Points[0]
	run[any](t, ctx, `document.getElementById("jump").click(), document.getElementById("wanted").value = "`+strings.ReplaceAll(other.Ref, ".0", ".")+`", document.getElementById("byname").requestSubmit()`)
	until(t, ctx, fmt.Sprintf(`document.getElementById("ref").textContent === %q`, other.Ref))
}

// writeFilm writes a film of one picture, in the format of the YUV4MPEG2 tools
// (mjpegtools, yuv4mpeg(5); from memory): a line of head, then for each picture the
// word FRAME and the planes of 4:2:0.
func writeFilm(t *testing.T, path, text string) {
	t.Helper()
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		t.Fatal(err)
	}
	const width, height, quiet = 640, 480, 4
	size := min(width, height) / (code.Size() + 2*quiet)
	picture := bytes.Repeat([]byte{235}, width*height)
	for y := range code.Size() * size {
		for x := range code.Size() * size {
			if code.Module(x/size, y/size) {
				picture[(y+quiet*size)*width+x+quiet*size] = 16
			}
		}
	}
	film := []byte(fmt.Sprintf("YUV4MPEG2 W%d H%d F10:1 Ip A1:1 C420\n", width, height))
	for range 10 {
		film = append(append(film, "FRAME\n"...), picture...)
		film = append(film, bytes.Repeat([]byte{128}, width*height/2)...)
	}
	if err := os.WriteFile(path, film, 0o644); err != nil {
		t.Fatal(err)
	}
}
