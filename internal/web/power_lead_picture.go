package web

import "sootline/internal/app"

// leadDrawing is a small picture of a step: the panel, the devices around it, what is unplugged, and where the leads are
// held. It is drawn in the colour of the text, so that it holds in the dark and on paper.
type leadDrawing struct {
	Wide    int
	Tall    int
	Panel   string
	Ends    []leadEnd // at the panel, where that is all there is to show
	Cables  []leadLine
	Plug    *leadLine
	Devices []leadDevice
	Leads   *leadDevice
	Says    string // for who does not see it
}

// leadEnd is an end of the loop at the panel: plugged in, or hanging below it; nil: no leads are held to it.
type leadEnd struct {
	X       int
	Label   string
	Plugged bool
	Lead    *leadHeld
}

// Left and Right are where its cores are drawn, From where they begin.
func (e leadEnd) Left() int  { return e.X - 5 }
func (e leadEnd) Right() int { return e.X + 5 }
func (e leadEnd) From() int {
	if e.Plugged {
		return 58
	}
	return 80
}

// leadHeld is the meter beside an end.
type leadHeld struct {
	From, X, Y int
	Label      string
}

// Inner is where the box of the panel ends.
func (d *leadDrawing) Inner() int { return d.Wide - 20 }

type leadLine struct{ From, To int }

type leadDevice struct {
	X     int
	Label string
}

// The measures of the picture.
const (
	leadFirst = 60
	leadApart = 120
	leadGap   = 34 // of a cable that is unplugged
)

func leadDrawingOf(p *app.LeadPicture) *leadDrawing {
	d := &leadDrawing{Wide: 2*leadFirst + leadApart*max(2, len(p.Names)), Tall: 110, Panel: "Panel: " + p.Panel}
	d.Says = d.Panel
	if len(p.Names) == 0 {
		d.Ends = []leadEnd{{X: leadFirst, Label: "OUT", Plugged: p.Out}, {X: d.Wide - leadFirst, Label: "IN", Plugged: p.In}}
	}
	at := func(i int) int { return leadFirst + leadApart/2 + leadApart*i }
	for i, name := range p.Names {
		d.Devices = append(d.Devices, leadDevice{at(i), name})
		from, to := at(i)+16, at(i)+leadApart-16
		if i == p.Plug {
			d.Plug = &leadLine{from, from + leadGap}
			from += leadGap
			d.Says += "; the cable behind " + name + " unplugged"
		}
		if i < len(p.Names)-1 || p.Behind || i == p.Plug {
			d.Cables = append(d.Cables, leadLine{from, to})
		}
	}
	if len(p.Names) > 0 {
		d.Cables = append(d.Cables, leadLine{at(0) - leadApart + 16, at(0) - 16})
	}
	d.holdLeads(p, at)
	return d
}

// holdLeads puts the leads, or the eye, where they are held.
func (d *leadDrawing) holdLeads(p *app.LeadPicture, at func(int) int) {
	label := p.Meter
	if label == "" {
		label = "look"
	}
	switch {
	case p.Leads >= 0:
		x := at(p.Leads) - 12
		if p.ToIn {
			x = at(p.Leads) + 12
		}
		if p.ToIn && p.Leads == p.Plug && p.Meter == "ohm" { // at the cable, not at the terminals
			x = at(p.Leads) + 16 + leadGap
		}
		d.Leads = &leadDevice{x, label}
		d.Says += "; " + label + " at " + p.Names[p.Leads]
	case p.Meter != "":
		d.Says += "; " + label + " at the panel"
		held := 1
		if p.ToIn {
			held = 0
		}
		if len(d.Ends) > 0 {
			x := d.Ends[held].Right()
			d.Ends[held].Lead = &leadHeld{x, x + 24, 93, label}
		} else {
			d.Panel += "; " + label + " at the loop’s " + [...]string{"OUT", "IN"}[held] + " end"
		}
	}
}
