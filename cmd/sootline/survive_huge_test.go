//go:build linux

package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// mostMemory is what a run may take, whatever it is handed.
const mostMemory = 200 << 20

// modest wants a refusal in a sentence, in little memory.
func (a answer) modest(t *testing.T) {
	t.Helper()
	a.refused(t, exitUsage, exitCouldNot)
	a.hinted(t, "")
	if len(a.err) > 2000 {
		t.Errorf("%v: the sentence has %d bytes", a.args, len(a.err))
	}
	if a.peak > mostMemory {
		t.Errorf("%v: took %d MB of memory, want at most %d", a.args, a.peak>>20, mostMemory>>20)
	}
	t.Logf("%v: %d MB, %s", a.args, a.peak>>20, strings.TrimSpace(a.err))
}

// endless repeats a piece of text.
type endless struct {
	piece string
	at    int
}

func (e *endless) Read(p []byte) (n int, err error) {
	for n < len(p) {
		k := copy(p[n:], e.piece[e.at:])
		n, e.at = n+k, (e.at+k)%len(e.piece)
	}
	return n, nil
}

const gigabyte = 1 << 30

func TestSurvivesHugeImport(t *testing.T) {
	b := prepared(t)
	want := b.sound()
	for _, piece := range []string{"\x00", "a", `{"id":"`} {
		cmd := b.command("log", "import", "-")
		cmd.Stdin = io.LimitReader(&endless{piece: strings.Repeat(piece, 64<<10)}, gigabyte)
		b.finish(cmd).modest(t)
	}
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}

func TestSurvivesHugeListing(t *testing.T) {
	b := prepared(t)
	want := b.sound()
	b.write("zeros.csv", "")
	if err := os.Truncate(filepath.Join(b.dir, "zeros.csv"), gigabyte); err != nil { // a sparse file
		t.Fatal(err)
	}
	b.write("wide.csv", strings.Repeat(",", 1_000_000)+"\n")
	listings := []string{"zeros.csv", "wide.csv"}
	if !testing.Short() {
		b.writeEndless("letters.csv", "a")
		listings = append(listings, "letters.csv")
	}
	for _, name := range listings {
		b.run("take", name, "--yes").modest(t)
		removeAll(t, filepath.Join(b.dir, name))
	}
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}

// writeEndless writes a file of a gigabyte.
func (b *bench) writeEndless(name, piece string) {
	b.t.Helper()
	f, err := os.Create(filepath.Join(b.dir, name))
	if err != nil {
		b.t.Fatal(err)
	}
	defer f.Close()
	if _, err := io.CopyBuffer(struct{ io.Writer }{f}, io.LimitReader(&endless{piece: strings.Repeat(piece, 64<<10)}, gigabyte), make([]byte, 1<<20)); err != nil {
		b.t.Fatal(err)
	}
}

// A row of a million empty cells beside a good one: the good one arrives.
func TestSurvivesWideRow(t *testing.T) {
	b := prepared(t)
	want := b.sound() + 2 // the entry of the row, and the one that tells of the take
	b.write("wide.csv", "point,date,value\n1.001,2024-05-01,25\n"+strings.Repeat(",", 1_000_000)+"\n")
	a := b.must("take", "wide.csv", "--yes")
	if a.peak > mostMemory || !strings.Contains(a.out, "row 3: expected at most") {
		t.Errorf("%d MB, and it says:\n%s", a.peak>>20, a.out)
	}
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}

// Workbooks of a few megabytes that unpack to more than two gigabytes.
func TestSurvivesZipBomb(t *testing.T) {
	b := prepared(t)
	want := b.sound()
	const sheet = "xl/worksheets/sheet1.xml"
	for name, bomb := range map[string]struct{ part, open, piece string }{
		"rows":    {sheet, `<worksheet><sheetData>`, `<row><c t="n"><v>1</v></c></row>`},
		"cell":    {sheet, `<worksheet><sheetData><row><c t="inlineStr"><is><t>`, "aaaaaaaa"},
		"strings": {"xl/sharedStrings.xml", `<sst>`, `<si><t>a</t></si>`},
		"styles":  {"xl/styles.xml", `<styleSheet><cellXfs>`, `<xf numFmtId="14"/>`},
	} {
		t.Run(name, func(t *testing.T) {
			b.t = t
			b.writeBomb("bomb.xlsx", bomb.part, bomb.open, bomb.piece)
			b.run("take", "bomb.xlsx", "--yes").modest(t)
		})
	}
	b.t = t
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}

// writeBomb writes a workbook, one part of which goes on for over two gigabytes.
func (b *bench) writeBomb(name, part, open, piece string) {
	b.t.Helper()
	f, err := os.Create(filepath.Join(b.dir, name))
	if err != nil {
		b.t.Fatal(err)
	}
	defer f.Close()
	w := zip.NewWriter(f)
	for _, p := range []struct{ name, text string }{
		{"xl/workbook.xml", `<workbook><sheets><sheet name="S" r:id="r1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="r1" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", `<worksheet><sheetData><row><c t="inlineStr"><is><t>point</t></is></c></row></sheetData></worksheet>`},
	} {
		if p.name == part {
			continue
		}
		entry, err := w.Create(p.name)
		if err == nil {
			_, err = io.WriteString(entry, p.text)
		}
		if err != nil {
			b.t.Fatal(err)
		}
	}
	if err := pour(w, part, open, piece); err != nil {
		b.t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		b.t.Fatal(err)
	}
}

// pour writes a packed part. Its piece is packed once, up to a byte boundary, and
// the packed bytes repeated: deflate allows it where no piece looks back at another.
func pour(w *zip.Writer, part, open, piece string) error {
	long := strings.Repeat(piece, 1<<20/len(piece))
	times := (2*gigabyte+gigabyte/8)/len(long) + 1
	sum, size := crc32.NewIEEE(), uint64(len(open)+times*len(long))
	io.WriteString(sum, open) //nolint:errcheck // a hash takes all
	for range times {
		io.WriteString(sum, long) //nolint:errcheck // as above
	}
	var packed bytes.Buffer
	for _, text := range append([]string{open}, long) {
		pack, err := flate.NewWriter(&packed, flate.BestCompression)
		if err != nil {
			return err
		}
		start := packed.Len()
		io.WriteString(pack, text) //nolint:errcheck // Flush gives the error
		if err := pack.Flush(); err != nil {
			return err
		}
		if text == long {
			once := bytes.Clone(packed.Bytes()[start:])
			packed.Write(bytes.Repeat(once, times-1))
		}
	}
	packed.Write([]byte{0x03, 0x00}) // a last block with nothing in it (RFC 1951, 3.2.6)
	entry, err := w.CreateRaw(&zip.FileHeader{
		Name: part, Method: zip.Deflate, CRC32: sum.Sum32(), CompressedSize64: uint64(packed.Len()), UncompressedSize64: size,
	})
	if err == nil {
		_, err = packed.WriteTo(entry)
	}
	return err
}
