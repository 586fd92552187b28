package chart

import _ "embed"

// Class says what a shape means. It is the shape's class in the SVG.
type Class string

// The classes that several pictures share.
const (
	Axis    Class = "axis"    // line of an axis, its ticks
	Grid    Class = "grid"    // faint line from a tick
	Label   Class = "label"   // text of an axis
	KeyText Class = "key"     // text that explains a sign
	Note    Class = "note"    // text inside the drawing
	Empty   Class = "empty"   // text in the place of a drawing
	Accent  Class = "accent"  // text or sign that should be seen first
	Limit   Class = "limit"   // line that should not be crossed
	Course  Class = "course"  // line through values
	Value   Class = "value"   // sign of a value
	Whisker Class = "whisker" // line over the uncertainty of a value
)

// The classes of a point's history.
const (
	Band    Class = "band"     // area in which a value should be
	LeftOut Class = "left-out" // sign of a value that was not used
	Reset   Class = "reset"    // line and letter where a drift starts afresh
	Event   Class = "event"    // sign of anything else that happened
	Now     Class = "now"      // line at the day as of which is told
	Fan90   Class = "fan-90"   // area in which a forecast lies with 90 %
	Fan50   Class = "fan-50"   // and with 50 %
	Median  Class = "median"   // line in the middle of a forecast
	Leaving Class = "leaving"  // sign of a day on which a limit is met
)

// The classes of a loop's pictures.
const (
	Worst    Class = "worst"     // series of the worst case
	WorstDot Class = "worst-dot" // its signs
	Least    Class = "least"     // sign of the least that is needed
	Cable    Class = "cable"     // cable, and every second stretch between isolators
	CableAlt Class = "cable-alt"
	Barrier  Class = "barrier" // isolator across the cable
	Panel    Class = "panel"
	Good     Class = "good"    // sign of a point: open
	Soon     Class = "soon"    // half shaded
	Out      Class = "out"     // filled, with a Halo
	Unknown  Class = "unknown" // dashed
	Halo     Class = "halo"    // ring around the sign of a point that is out
)

// The classes of a setting card.
const (
	CardNumber  Class = "card-number"  // the number, large
	CardTakes   Class = "card-takes"   // the numbers of a wide device
	CardPlace   Class = "card-place"   // where it goes
	CardFrame   Class = "card-frame"   // a switch
	CardLever   Class = "card-lever"   // its lever, in the upper or lower half
	CardSide    Class = "card-side"    // the word of a half
	CardName    Class = "card-name"    // what a switch or dial is called
	CardCounts  Class = "card-counts"  // the weight of a switch
	CardDialRim Class = "card-dial"    // a dial
	CardPointer Class = "card-pointer" // a straight line from its middle
	CardDigit   Class = "card-digit"   // a position of it
	CardValue   Class = "card-value"   // the position at which it stands
	CardSays    Class = "card-says"    // how it is set, in words
	CardWanted  Class = "card-wanted"  // a mode that it should have
	CardBox     Class = "card-box"     // a box to tick by hand
)

// Part is the class of the i-th part of a whole, of four shades in turn.
func Part(i int) Class { return [...]Class{"part-0", "part-1", "part-2", "part-3"}[i%4] }

//go:embed style.css
var style string

// Style is a style sheet for all classes. It has no colour but currentColor and
// what the page gives in --chart-accent and --chart-paper.
func Style() string { return style }
