package paper

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg" // for the size of a logo
	_ "image/png"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"sootline"
)

// The layout of a page, in millimetres, and of its type, in points.
const (
	margin  = 16
	top     = 24 // where the text begins
	bottom  = 22 // from the lower edge to where it ends
	leading = 1.35
	body    = 9.0
	small   = 7.5
	perPt   = 25.4 / 72
	family  = "paper"
)

// The shades of ink, from 0 to 255.
const (
	black = 0
	grey  = 90
	faint = 200
)

// press puts a document on pages.
type press struct {
	*fpdf.Fpdf
	*glyphs
	doc        *Document
	size       Size
	y          float64
	chapts     []chapter
	titles     []string // of the pages, from the first
	logo       bool
	width      float64 // of the text
	sizePt     float64
	bold       bool
	tail       float64            // of what follows the block at hand and must not stand alone
	toContents int                // the link back to the first page, of a paper with contents
	widths     map[string]float64 // widths of words, at 1 pt; the key begins with R or B
}

// chapter is where a part begins.
type chapter struct {
	title string
	page  int
}

// newPress makes an empty PDF with the type of the house.
func newPress(d *Document, size Size) (*press, error) {
	g, err := newGlyphs()
	if err != nil {
		return nil, err
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: size.Width, Ht: size.Height}})
	f.SetCatalogSort(true)
	f.SetCreationDate(d.Made.UTC())
	f.SetModificationDate(d.Made.UTC())
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	f.SetAutoPageBreak(false, 0)
	f.AddUTF8FontFromBytes(family, "", regular)
	f.AddUTF8FontFromBytes(family, "B", bold)
	f.SetLang("en")
	f.SetTitle(d.Title+", "+d.Site, true)
	f.SetSubject(joined(d.AsOf, d.RestsOn), true)
	f.SetAuthor(d.Firm.Name, true)
	f.SetCreator("Sootline", true)
	f.SetXmpMetadata(xmp(d))
	p := &press{Fpdf: f, glyphs: g, doc: d, size: size, width: size.Width - 2*margin, widths: map[string]float64{}}
	p.readLogo()
	return p, f.Error()
}

// xmp is the metadata packet: what the info dictionary says, for programs that
// read only this.
func xmp(d *Document) []byte {
	escape := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace
	return fmt.Appendf(nil, `<?xpacket begin="%s" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>%s</xmp:CreateDate></rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>`, "\ufeff", escape(d.Title+", "+d.Site), d.Made.UTC().Format(time.RFC3339))
}

// readLogo takes the firm's logo in; one that cannot be read is left out, and
// settings say so where the logo is set.
func (p *press) readLogo() {
	kind := ""
	switch {
	case bytes.HasPrefix(p.doc.Firm.Logo, []byte("\x89PNG")):
		kind = "PNG"
	case bytes.HasPrefix(p.doc.Firm.Logo, []byte("\xff\xd8")):
		kind = "JPG"
	default:
		return
	}
	p.RegisterImageOptionsReader("logo", fpdf.ImageOptions{ImageType: kind}, bytes.NewReader(p.doc.Firm.Logo))
	if p.logo = !p.Err(); !p.logo {
		p.ClearError()
	}
}

// WritePDF writes a document as PDF on paper of that size.
func WritePDF(w io.Writer, d *Document, size Size) error {
	p, err := newPress(d, size)
	if err != nil {
		return err
	}
	note := p.look(d)
	p.newPage()
	p.head(note)
	var contents []place
	if d.Contents {
		contents = p.reserveContents()
	}
	for i := range d.Parts {
		if p.Err() {
			return p.Error()
		}
		p.part(&d.Parts[i], i > 0 || d.Contents)
	}
	if d.Contents {
		p.writeContents(contents)
	}
	p.frame()
	return p.Output(w)
}

// turnTo goes back to an earlier page. The library believes that the type and the
// pens there are those of the last page; another size makes it write them down.
func (p *press) turnTo(page int) {
	p.SetPage(page)
	p.SetFont(family, "", 1)
	p.SetLineWidth(1)
	p.y = top
}

// font chooses the type.
func (p *press) font(isBold bool, pt float64) {
	style := ""
	if isBold {
		style = "B"
	}
	p.SetFont(family, style, pt)
	p.bold, p.sizePt = isBold, pt
}

func (p *press) ink(shade int) { p.SetTextColor(shade, shade, shade) }

// line is the height of a line of the type in use, in millimetres.
func (p *press) line() float64 { return p.sizePt * leading * perPt }

// newPage begins a page.
func (p *press) newPage() {
	if err := p.doc.over(); err != nil {
		p.SetError(err)
	}
	p.AddPage()
	title := p.doc.Title
	if n := len(p.chapts); n > 0 && p.chapts[n-1].title != "" {
		title = p.chapts[n-1].title
	}
	p.titles = append(p.titles, title)
	p.y = top
}

// room begins a page unless so many millimetres are left on this one.
func (p *press) room(height float64) bool {
	if p.y+height <= p.size.Height-bottom {
		return false
	}
	isBold, pt := p.bold, p.sizePt
	p.newPage()
	p.font(isBold, pt)
	return true
}

// write puts a line of text at x, its top at y.
func (p *press) write(x, y float64, text string) {
	if text != "" {
		p.Fpdf.Text(x, y+p.sizePt*perPt*1.02, text)
	}
}

// head is what stands at the top of the first page.
func (p *press) head(note string) {
	y := p.firm()
	width := p.width
	if y > p.y {
		width *= 0.6
	}
	p.ink(black)
	for _, text := range []struct {
		bold bool
		pt   float64
		text string
	}{{true, 18, p.doc.Title}, {true, 11, p.doc.Site}, {false, body, p.doc.AsOf}, {false, body, p.doc.RestsOn}} {
		p.font(text.bold, text.pt)
		for _, line := range p.wrap(p.printable(text.text), width) {
			p.write(margin, p.y, line)
			p.y += p.line()
		}
	}
	p.y = max(p.y, y) + 3
	p.cautions(note)
}

// firm puts who hands the paper out at the right, and says where that ends.
func (p *press) firm() float64 {
	y, right := p.y, margin+p.width
	if p.logo {
		info := p.GetImageInfo("logo")
		scale := min(45/info.Width(), 18/info.Height())
		w, h := info.Width()*scale, info.Height()*scale
		p.ImageOptions("logo", right-w, y, w, h, false, fpdf.ImageOptions{}, 0, "")
		y += h + 2
	}
	p.ink(black)
	for i, text := range append([]string{p.doc.Firm.Name}, append(p.doc.Firm.Address, p.doc.Firm.Phone)...) {
		p.font(i == 0, body)
		for _, line := range p.wrap(p.printable(text), p.width*0.35) {
			p.write(right-p.widthOf(line), y, line)
			y += p.line()
		}
	}
	return y
}

// cautions stand in a frame under the head.
func (p *press) cautions(note string) {
	texts := p.doc.Cautions
	if note != "" {
		texts = append([]string{note}, texts...)
	}
	if len(texts) == 0 {
		return
	}
	p.font(false, small+0.5)
	var lines []string
	for _, text := range texts {
		lines = append(lines, p.wrap(p.printable(text), p.width-6)...)
	}
	height := float64(len(lines))*p.line() + 4
	p.room(height)
	p.SetDrawColor(grey, grey, grey)
	p.SetLineWidth(0.3)
	p.Rect(margin, p.y, p.width, height, "D")
	y := p.y + 2
	for _, line := range lines {
		p.write(margin+3, y, line)
		y += p.line()
	}
	p.y += height + 4
}

// frame writes the head and foot of each page, once it is known how many there
// are.
func (p *press) frame() {
	all := p.PageCount()
	if p.doc.Contents {
		p.toContents = p.AddLink()
		p.SetLink(p.toContents, 0, 1)
	}
	for page := 1; page <= all; page++ {
		p.turnTo(page)
		p.SetDrawColor(faint, faint, faint)
		p.SetLineWidth(0.2)
		p.ink(grey)
		p.font(false, small)
		if page > 1 {
			p.write(margin, 11, p.clip(p.printable(p.doc.Site), p.width*0.55))
			title := p.clip(p.printable(p.titles[page-1]), p.width*0.4)
			p.write(margin+p.width-p.widthOf(title), 11, title)
			p.Fpdf.Line(margin, 15.5, margin+p.width, 15.5)
			if p.doc.Contents {
				p.Link(margin, 9, p.width, 6.5, p.toContents)
			}
		}
		p.standing()
		foot := p.size.Height - 16
		p.Fpdf.Line(margin, foot, margin+p.width, foot)
		p.font(false, small)
		p.ink(grey)
		of := fmt.Sprintf("page %d of %d", page, all)
		p.write(margin+p.width-p.widthOf(of), foot+1.5, of)
		p.write(margin, foot+1.5, p.clip(p.printable(joined(p.doc.AsOf, codeWords(p.doc.Code))), p.width*0.8))
		p.write(margin, foot+5, p.clip(p.printable(joined(append([]string{p.doc.Firm.Name}, append(p.doc.Firm.Address, p.doc.Firm.Phone)...)...)), p.width))
	}
}

func codeWords(code string) string {
	if code == "" {
		return ""
	}
	return "code " + code
}

// standing says on the page what nobody may overlook.
func (p *press) standing() {
	if len(p.doc.Standing) == 0 {
		return
	}
	p.font(true, small)
	p.ink(black)
	p.write(margin, 16.5, p.clip(p.printable("Still out of use: "+strings.Join(p.doc.Standing, ", ")), p.width))
}

// place is where a line can stand.
type place struct {
	page int
	y    float64
}

// reserveContents keeps a line free for each part, from here on: their pages are
// known when all of them are written.
func (p *press) reserveContents() []place {
	p.Bookmark("Contents", 0, p.y)
	p.title("Contents", 11, 1)
	p.font(false, body)
	places := make([]place, len(p.doc.Parts))
	for i := range places {
		if p.room(p.line() * 1.25) {
			p.titles[len(p.titles)-1] = "Contents"
		}
		places[i] = place{p.PageNo(), p.y}
		p.y += p.line() * 1.25
	}
	return places
}

// writeContents goes back and writes them.
func (p *press) writeContents(places []place) {
	for i, c := range p.chapts {
		p.turnTo(places[i].page)
		p.y = places[i].y
		p.font(false, body)
		p.ink(black)
		page := fmt.Sprint(c.page)
		title := p.clip(p.printable(c.title), p.width-20)
		p.write(margin, p.y, title)
		p.write(margin+p.width-p.widthOf(page), p.y, page)
		p.dots(margin+p.widthOf(title)+2, margin+p.width-p.widthOf(page)-2)
		link := p.AddLink()
		p.SetLink(link, 0, c.page)
		p.Link(margin, p.y, p.width, p.line(), link)
	}
}

// dots leads the eye from a title to its page.
func (p *press) dots(from, to float64) {
	p.SetDrawColor(faint, faint, faint)
	p.SetLineWidth(0.3)
	p.SetDashPattern([]float64{0.3, 1.2}, 0)
	p.Fpdf.Line(from, p.y+p.line()*0.7, to, p.y+p.line()*0.7)
	p.SetDashPattern(nil, 0)
}

// CheckLogo says whether a logo can be printed: a PNG or JPEG of a bearable size.
func CheckLogo(logo []byte) error {
	const most = 2000 // squares a side
	shape, kind, err := image.DecodeConfig(bytes.NewReader(logo))
	switch {
	case err != nil:
		return sootline.Errorf(sootline.Invalid, "save it as PNG or JPEG", "the logo cannot be read: %w", err)
	case shape.Width > most || shape.Height > most:
		return sootline.Errorf(sootline.Invalid, "", "the logo is %d by %d, at most %d by %d can be printed", shape.Width, shape.Height, most, most)
	case kind != "png" && kind != "jpeg":
		return sootline.Errorf(sootline.Invalid, "save it as PNG or JPEG", "the logo is %s", kind)
	}
	return nil
}
