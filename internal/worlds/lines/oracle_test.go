package lines_test

import (
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"sootline/internal/worlds/lines"
)

// oracle knows the styles, and reads them by an expression each, written apart from what prints them. It is
// not robust: it believes whatever fits.
type oracle struct {
	expression *regexp.Regexp // over the records joined by line feeds, control characters and wrapping taken into account
	layout     string         // of day and time, joined by a blank
	page       *charmap.Charmap
	width      int
	months     string
	deep       int // lines of a record, wrapping aside

	means   func(string) (lines.Event, bool)
	careful bool // it asks the register
	points  []lines.Point
	seen    map[string]bool // places with their texts that lines told of

	buffer  []byte
	arrived []arrival
	now     time.Time // when what is read arrived
	answers []lines.Answer
}

var expressions = map[string]oracle{
	"wide":        {layout: "02/01/2006 15:04:05", expression: re(`^(?P<day>\S+) (?P<time>\S+)  (?P<what>[A-Z -]{15})(L(?P<loop>\d) D(?P<number>\d+)| {7})( Z(?P<zone>\d\d)| {4})  (?P<text>.*)$`)},
	"semicolons":  {layout: "2006-01-02 15:04:05", page: charmap.ISO8859_1, expression: re(`^(?P<day>[\d-]+);(?P<time>[\d:]+);(?P<loop>\d?);(?P<number>\d*);(?P<zone>\d*);(?P<what>[^;]+);"(?P<text>.*)"$`)},
	"keyed":       {layout: "02.01.2006 15:04", expression: re(`^datum=(?P<day>\S+) zeit=(?P<time>\S+) art=(?P<what>.+?)( ring=(?P<loop>\d) adr=(?P<number>\d+))?( gruppe=(?P<zone>\d+))?( ort=(?P<text>.*))?$`)},
	"packed":      {layout: "020106 150405", expression: re(`^(?P<day>\d{6})(?P<time>\d{6})(?P<what>[A-Z])(?P<loop>\d\d)(?P<number>\d{3})(?P<zone>\d{3})(?P<text>.{16})$`)},
	"points":      {layout: "20060102 150405", expression: re(`^(?P<day>\d{8})T(?P<time>\d{6}) ((?P<loop>\d)\.(?P<number>\d+)\.(?P<sub>\d)|-\.---\.-) z(?P<zone>\d+|-) (?P<what>\S+) *(?P<text>.*)$`)},
	"pipes":       {layout: "02-@-2006 15:04", months: "ene feb mar abr may jun jul ago sep oct nov dic", expression: re(`^(?P<day>\S+) (?P<time>[\d:]+) \| (?P<what>[^|]+) \| (Lazo (?P<loop>\d) Disp\. (?P<number>\d+) \| )?(Zona (?P<zone>\d+) \| )?(?P<text>.*)$`)},
	"codes":       {layout: "02/01 1504", page: charmap.CodePage850, expression: re(`^EV(?P<what>\d\d) (?P<number>\d{3})\.(?P<loop>\d) Z(?P<zone>\d+) (?P<day>\S+) (?P<time>\d{4}) (?P<text>.*)$`)},
	"two-deep":    {layout: "02-@ 15:04", deep: 2, width: 40, months: "JAN FEB MAR APR MAY JUN JUL AUG SEP OCT NOV DEC", expression: re(`^(?P<what>[A-Z -]+?) +(?P<day>\d\d-[A-Z]{3}) (?P<time>\d\d:\d\d)\n  (SYSTEM|LOOP (?P<loop>\d) SENSOR (?P<number>\d+)) (?P<text>.*)$`)},
	"slip":        {layout: "02.01.06 15:04", page: charmap.CodePage437, width: 24, expression: re(`^(?P<day>\d\d\.\d\d\.\d\d) (?P<time>\d\d:\d\d) (?P<what>(FEUER|VORALARM|STOERUNG|ABSCHALTUNG|REVISION|RUECKSTELLUNG|SUMMER AUS)( WEG)?)( M(?P<loop>\d)/(?P<number>\d+))?( G(?P<zone>\d+))? (?P<text>.*)$`)},
	"ribbon":      {layout: "2 @ 15h04", page: charmap.CodePage850, width: -32, months: "janvier février mars avril mai juin juillet août septembre octobre novembre décembre", expression: re(`^le (?P<day>\d+ \S+) à (?P<time>\d\dh\d\d) (?P<what>[^,]+?)(, boucle (?P<loop>\d) point (?P<number>\d+))?(, zone (?P<zone>\d+))?(, (?P<text>.*))?$`)},
	"under-heads": {layout: " 15:04:05", expression: re(`^(?P<day>)(?P<time>\d\d:\d\d:\d\d) (?P<what>[A-Z ]{13})((?P<loop>\d)/(?P<number>\d{3}) )?(zone (?P<zone>\d+) )?(?P<text>.*)$`)},
	"separated":   {layout: "02-01-2006 15:04:05", deep: 3, expression: re(`^-{40}\nTIJD (?P<day>\S+) (?P<time>\S+) MELDING (?P<what>.+)\n(LUS (?P<loop>\d) MELDER (?P<number>\d+) )?(ZONE (?P<zone>\d+) )?: (?P<text>.*)$`)},
	"fused":       {layout: "02.01 15:04", page: charmap.CodePage437, width: 40, expression: re(`^\d{4} (?P<day>\d\d\.\d\d) (?P<time>\d\d:\d\d) (?P<loop>\d)(?P<number>\d{3})/(?P<zone>\d\d) (?P<what>FEU|PRE-ALARME|DEFAUT|FIN DEFAUT|HS|ES|TEST|REARM|SILENCE) (?P<text>.*)$`)},
	"zones":       {layout: "02.01. 15:04", deep: 2, page: charmap.ISO8859_1, expression: re(`^(?P<day>\d\d\.\d\d\.) (?P<time>\d\d:\d\d) (CENTRALE|ZONE (?P<zone>\d\d)) (?P<what>.+)\n   (-|(?P<text>.+))$`)},
	"half-day":    {layout: "01/02/06 3:04:05 PM", expression: re(`^(?P<day>\S+) (?P<time>\S+ [AP]M)  NODE 1(  LOOP (?P<loop>\d\d)  DEVICE (?P<number>\d+))?(  ZONE (?P<zone>\d+))?  (?P<what>[A-Z -]+)(  "(?P<text>.*)")?$`)},
	"sentence":    {layout: "2 @ 15:04", months: "January February March April May June July August September October November December", expression: re(`^At (?P<time>\d\d:\d\d) on (?P<day>\d+ \S+) (device (?P<number>\d+) of loop (?P<loop>\d) \(zone (?P<zone>\d+)\) |zone (?P<zone2>\d+) )?(?P<what>[^:]+)(: (?P<text>.*))?$`)},
	"letters":     {layout: "2 @ 2006 15:04:05", page: charmap.CodePage850, months: "gen feb mar apr mag giu lug ago set ott nov dic", expression: re(`^(?P<day>\d+ [a-z]+ \d{4}) (?P<time>\S+) (?P<what>[A-Z ]{5,}?)( (?P<loop>[ABC])(?P<number>\d{3}))?( Zona (?P<zone>\d+))?( - (?P<text>.*))?$`)},
	"text-first":  {layout: "02.01.06 15:04", page: charmap.ISO8859_1, expression: re(`^(?P<text>.+?) / (det (?P<loop>\d)-(?P<number>\d+) / |zone (?P<zone>\d+) / )?(?P<what>[A-Za-z ]+) / (?P<time>\d\d:\d\d) (?P<day>\S+)$`)},
	"evening":     {layout: "2Jan 3:04pm", expression: re(`^(?P<day>\d+[A-Z][a-z]{2}) (?P<time>\d+:\d\d[ap]) (?P<what>[A-Za-z -]{11})(Lp(?P<loop>\d) Ad (?P<number>\d{3})\.(?P<sub>\d\d) )?'(?P<text>.*)'$`)},
	"stars":       {layout: "2. @ 2006 15:04", page: charmap.ISO8859_1, width: 80, months: "Januar Februar März April Mai Juni Juli August September Oktober November Dezember", expression: re(`^\*\*\* (?P<what>[A-ZÖÜ ]+) \*\*\* (\(Schleife (?P<loop>\d), Melder (?P<number>\d+), Gruppe (?P<zone>\d+)\) |\(Gruppe (?P<zone2>\d+)\) )?((?P<text>.*) - )?(?P<day>\d+\. \S+ \d{4}), (?P<time>\d\d:\d\d) Uhr$`)},
}

func re(text string) *regexp.Regexp { return regexp.MustCompile(text) }

// knowing is the learner that has learned nothing from the lesson but what words mean.
func knowing(style string) lines.Learner {
	return func(l lines.Lesson) (lines.Listener, error) {
		o := expressions[style]
		o.means = l.Means
		return &o, nil
	}
}

var flat = regexp.MustCompile("\x1b\\[\\dm|[\x0c\x0e\x0f\r]")

func (o *oracle) Hear(at time.Time, b []byte) []lines.Answer {
	o.arrived = append(o.arrived, arrival{int64(len(o.buffer)), at})
	o.buffer = append(o.buffer, b...)
	return nil
}

// part is a line of paper, and where its bytes lie.
type part struct {
	text     string
	from, to int64
}

// parts cuts the stream into lines of paper.
func (o *oracle) parts() []part {
	var all []part
	for from := 0; from < len(o.buffer); {
		to := len(o.buffer)
		if n := bytes.IndexByte(o.buffer[from:], '\n'); n >= 0 {
			to = from + n + 1
		}
		text := string(o.buffer[from:to])
		if o.page != nil {
			text, _ = o.page.NewDecoder().String(text) //nolint:errcheck // every byte is a character of these pages
		}
		text = strings.TrimSuffix(flat.ReplaceAllString(text, ""), "\n")
		all = append(all, part{text, int64(from), int64(to)})
		from = to
	}
	return all
}

// End reads it all; the longest record that fits is believed.
func (o *oracle) End() []lines.Answer {
	all := o.parts()
	for i := 0; i < len(all); {
		n := min(8, len(all)-i)
		for ; n > 0; n-- {
			joined, ok := o.joined(all[i : i+n])
			if ok && o.read(joined, all[i].from, all[i+n-1].to) {
				break
			}
		}
		if n == 0 {
			o.answers = append(o.answers, lines.Answer{From: all[i].from, To: all[i].to, As: lines.Kept})
			n = 1
		}
		i += n
	}
	return o.answers
}

// ends are lines that go on with nothing: heads, remarks, and the beginnings of records on narrow paper.
var ends = re(`^(\d\d\.\d\d\.\d{2,4} \d|PAPE|PAPI|FIN DE PAP|FINE|SEL|AUTOTEST|ZELF|BLATT|BRANDMELDE|\*\*\*|==|le \d+ \S+ à|\d{4} \d\d\.)| \d\d-[A-Z]{3} \d\d:`)

// joined undoes the breaks of lines on paper.
func (o *oracle) joined(parts []part) (string, bool) {
	text, breaks := parts[0].text, 0
	for i, p := range parts[1:] {
		n := utf8.RuneCountInString(parts[i].text)
		switch {
		case ends.MatchString(p.text):
			return "", false
		case o.width < 0:
			text += " " + p.text
		case o.width > 0 && n == o.width && !strings.HasPrefix(p.text, "  "):
			text += p.text
		default:
			text += "\n" + p.text
			breaks++
		}
	}
	return text, breaks == max(o.deep, 1)-1
}

// read takes a record for what it looks like.
func (o *oracle) read(text string, from, to int64) bool {
	found := o.expression.FindStringSubmatch(text)
	if found == nil {
		return false
	}
	says := map[string]string{}
	for i, name := range o.expression.SubexpNames() {
		if name = strings.TrimSuffix(name, "2"); name != "" && found[i] != "" {
			says[name] = strings.TrimSpace(found[i])
		}
	}
	i, _ := slices.BinarySearchFunc(o.arrived, from+1, func(a arrival, at int64) int { return cmp.Compare(a.from, at) })
	o.now = o.arrived[i-1].at
	event, ok := o.means(strings.Replace(says["what"], "the panel rep", "rep", 1))
	wall, real := o.wall(says["day"] + " " + says["time"])
	if !ok || !real {
		return false
	}
	a := lines.Answer{From: from, To: to, Event: event, Wall: wall, Text: says["text"]}
	a.Number, a.Sub, a.Zone = number(says["number"]), number(says["sub"]), number(says["zone"])
	if a.Number > 0 {
		a.Loop = strings.TrimLeft(says["loop"], "0")
	}
	if o.careful && !o.known(a) {
		return false
	}
	o.answers = append(o.answers, a)
	return true
}

// known: the register or an earlier line has the point with its zone and its text, and the event is one of such a place.
func (o *oracle) known(a lines.Answer) bool {
	none := a.Text == "" || a.Text == "Panel"
	if a.Event == lines.Reset || a.Event == lines.Silence {
		return a.Number == 0 && a.Zone == 0 && none
	}
	if a.Number == 0 && none {
		return a.Zone > 0 && (a.Event == lines.Disabled || a.Event == lines.Enabled) &&
			slices.ContainsFunc(o.points, func(p lines.Point) bool { return p.Zone == a.Zone })
	}
	place := fmt.Sprint(a.Loop, a.Number, a.Sub, a.Zone, a.Text)
	before := o.seen[place]
	o.seen[place] = true
	return before || !none && slices.ContainsFunc(o.points, func(p lines.Point) bool {
		same := a.Text == p.Text || len(a.Text) > 12 && strings.HasPrefix(p.Text, a.Text)
		at := a.Number == 0 && a.Zone == p.Zone || a.Number == p.Number && a.Loop == p.Loop && a.Sub == p.Sub && (a.Zone == p.Zone || a.Zone == 0)
		return same && at
	})
}

// careful is the learner that knows the style and believes what the register or an earlier line bears out.
func careful(style string) lines.Learner {
	return func(l lines.Lesson) (lines.Listener, error) {
		before := expressions[style]
		before.means = l.Means
		for _, c := range l.Heard {
			before.Hear(c.At, c.Bytes)
		}
		o := expressions[style]
		o.means, o.careful, o.points, o.seen = l.Means, true, l.Points, map[string]bool{}
		for _, a := range before.End() {
			o.known(a)
		}
		return &o, nil
	}
}

func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return n
}

// wall reads day and time; a year that is not there is that which is nearest to the last year read.
func (o *oracle) wall(text string) (string, bool) {
	layout, out := o.layout, "2006-01-02T15:04"
	if strings.Contains(layout, "05") {
		out += ":05"
	}
	for i, name := range strings.Fields(o.months) {
		if strings.Contains(text, name) {
			text = strings.Replace(text, name, time.Month(i+1).String(), 1)
			break
		}
	}
	layout = strings.Replace(layout, "@", "January", 1)
	if strings.HasSuffix(layout, "pm") {
		text += "m"
	}
	t, err := time.Parse(layout, text)
	switch {
	case err != nil:
		return "", false
	case strings.HasPrefix(layout, " "):
		return t.Format(out[len("2006-01-02"):]), true
	case t.Year() == 0:
		t = o.nearest(t)
	}
	return t.Format(out), true
}

type arrival struct {
	from int64
	at   time.Time
}

// nearest puts a day without a year into the year in which it is nearest to its arrival.
func (o *oracle) nearest(t time.Time) time.Time {
	best := t
	for year := o.now.Year() - 1; year <= o.now.Year()+1; year++ {
		dated := time.Date(year, t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
		if dated.Sub(o.now).Abs() < best.Sub(o.now).Abs() {
			best = dated
		}
	}
	return best
}
