package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Peer is how a point stands among its peers.
type Peer struct {
	State  PeerState
	Within string  // the area whose points it is held against, or empty: the whole site
	N      int     // peers with a value, the point itself included; 0 with NoPeers
	Centre float64 // their median
	Scale  float64 // the yardstick, above zero with any state but NoPeers
	Z      float64 // distance of the point from Centre in yardsticks, upwards positive

	Room   RoomState
	Rise   *float64 // median rise of the area's points since each was clean, towards dirt; nil when not known
	Risen  int      // how many of them rose by more than noise, of
	Known  int      // so many of which that is known
	Shares bool     // the point itself has risen too
	Clean  *float64 // where clean units of the type rest; nil when not known

	Reason string // one sentence
}

// PeerState says whether a point differs from its peers.
type PeerState string

// The states.
const (
	NoPeers    PeerState = "no peers"    // fewer than five of its type, on the whole site, with a value
	Alike      PeerState = "alike"       // within the scatter of its peers
	HighAmong  PeerState = "above peers" // far above them
	LowAmong   PeerState = "below peers" // far below them
	TwoLevels  PeerState = "two levels"  // its peers stand at two levels: none of them can be accused
	leastPeers           = 5
)

// RoomState says whether the detectors of an area have risen together.
type RoomState string

// The states of an area, for one type.
const (
	RoomUnknown RoomState = "unknown" // fewer than five there, or nothing to hold them against
	RoomUsual   RoomState = "usual"
	RoomRaised  RoomState = "raised" // the room is dusty, whatever a single detector does
)

// comparableFor is how many visit intervals back a value may have been read to
// be held against the newest one of its group.
const comparableFor = 2

// leastCount is the least yardstick of values in counts: one count.
const leastCount = 1

// levelGap is how many yardsticks lie between two levels.
const levelGap = 4

// Peers holds each judged point against those of its type in its area, where at
// least five are in service and have a value read lately, else against those of
// its type on the whole site, else against none. Points that are disabled or
// were not read have no line in the map. Judgements are those of [Site] for the
// same register.
//
// Methods, sources, limits and outside checks are in docs/methods/judging.md.
func Peers(r *sootline.Register, judgements []Judgement) map[*sootline.Point]Peer {
	areas, site := map[group][]*Judgement{}, map[group][]*Judgement{}
	for i := range judgements {
		j := &judgements[i]
		if j.Verdict == NoReading || j.Quantity != "" || j.Point.Disabled != nil || j.Point.Removed != nil ||
			sootline.TypeKey(j.Point.Type) == "" || !(math.Abs(j.Value) <= wildest) {
			continue
		}
		area, whole := groupsOf(j)
		areas[area] = append(areas[area], j)
		site[whole] = append(site[whole], j)
	}
	c := comparison{r: r, levels: CleanLevels(r), areas: measured(r, areas), site: measured(r, site)}
	peers := make(map[*sootline.Point]Peer, len(judgements))
	for _, members := range areas {
		for _, j := range members {
			peers[j.Point] = c.peer(j)
		}
	}
	return peers
}

// group is a type, in one area or on the whole site.
type group struct{ kind, panel, area string }

func groupsOf(j *Judgement) (area, site group) {
	key := sootline.TypeKey(j.Point.Type)
	return group{key, j.Point.Panel, j.Point.Area}, group{kind: key}
}

// comparison is what the points of a register are held against.
type comparison struct {
	r           *sootline.Register
	levels      Levels
	areas, site map[group]*measure
}

// measure is the centre and yardstick of a group.
type measure struct {
	scale  robust.Scale
	n      int
	oldest time.Time // values read before are not comparable
	two    bool
	rise   *float64 // the median, towards dirt
	risen  int      // how many have risen
	known  int      // of so many of which it is known
	floor  float64
}

func measured(r *sootline.Register, groups map[group][]*Judgement) map[group]*measure {
	all := make(map[group]*measure, len(groups))
	for key, members := range groups {
		all[key] = measureOf(r, members)
	}
	return all
}

func measureOf(r *sootline.Register, members []*Judgement) *measure {
	newest := slices.MaxFunc(members, func(a, b *Judgement) int { return a.ReadAt.Compare(b.ReadAt) }).ReadAt
	m := &measure{
		oldest: newest.AddDate(0, -comparableFor*r.Site.Rules.VisitMonths, 0),
	}
	var values, rises []float64
	dirt := dirtSign(members[0].Sheet)
	for _, j := range members {
		if j.ReadAt.Before(m.oldest) {
			continue
		}
		values = append(values, j.Value)
		if start, ok := cleanStart(j.Point); ok {
			rises = append(rises, dirt*(j.Value-start))
		}
	}
	m.n = len(values)
	m.floor = floorOf(values, usualNoise(r, members[0].Sheet), leastCount)
	m.scale, _ = robust.RobustScale(values, m.floor)
	m.known = len(rises)
	for _, rise := range rises {
		if rise > m.floor {
			m.risen++
		}
	}
	m.two = twoLevels(values, m.floor)
	if rise, ok := robust.Median(rises); ok && len(rises) >= leastPeers {
		m.rise = given(rise)
	}
	return m
}

// cleanStart is the value of the first reading after the last dated reset, when
// that was soon after it.
func cleanStart(p *sootline.Point) (value float64, ok bool) {
	reset, since := p.LastReset(), p.SinceReset()
	if len(since) == 0 || !reset.At.After(sootline.LongAgo) || !since[0].At.Before(reset.At.AddDate(0, 0, freshFor)) {
		return 0, false
	}
	value, ok = robust.Median(since[0].Samples)
	return value, ok && math.Abs(value) <= wildest
}

// twoLevels reports whether the values fall apart into two sides, each of at
// least a third of them, with a gap between of more than four yardsticks; the
// yardstick is that of the sides about their own medians.
func twoLevels(values []float64, floor float64) bool {
	x := slices.Sorted(slices.Values(values))
	if len(x) < leastPeers {
		return false
	}
	at := 0
	least := (len(x) + 2) / 3
	for i := least; i <= len(x)-least; i++ {
		if at == 0 || x[i]-x[i-1] > x[at]-x[at-1] {
			at = i
		}
	}
	if at == 0 {
		return false
	}
	unit := floor
	for _, side := range [][]float64{x[:at], x[at:]} {
		if s, ok := robust.RobustScale(side, floor); ok {
			unit = max(unit, s.Unit)
		}
	}
	return x[at]-x[at-1] > levelGap*unit
}

func (c *comparison) peer(j *Judgement) Peer {
	inArea, onSite := groupsOf(j)
	room := c.areas[inArea]
	p := Peer{State: NoPeers, Room: RoomUnknown}
	if clean, ok := c.levels[inArea.kind]; ok {
		p.Clean = given(clean.Centre)
	}
	if j.Point.Area != "" {
		p.Room, p.Rise = c.room(room, inArea.kind, dirtSign(j.Sheet))
		p.Risen, p.Known, p.Shares = room.risen, room.known, c.shares(j, room.floor)
	}
	m := room
	if m.n >= leastPeers && j.Point.Area != "" {
		p.Within = j.Point.Area
	} else {
		m = c.site[onSite]
	}
	if m.n < leastPeers || j.ReadAt.Before(m.oldest) {
		p.Reason = "no peers: " + c.lonely(m, j)
		return p
	}
	p.N, p.Centre, p.Scale, p.Z = m.n, m.scale.Centre, m.scale.Unit, m.scale.Z(j.Value)
	switch {
	case m.two:
		p.State = TwoLevels
	case p.Z > robust.OutlierZ:
		p.State = HighAmong
	case p.Z < -robust.OutlierZ:
		p.State = LowAmong
	default:
		p.State = Alike
	}
	p.Reason = p.sentence(j)
	return p
}

func (c *comparison) lonely(m *measure, j *Judgement) string {
	if m.n >= leastPeers {
		return fmt.Sprintf("it was read on %s, long before the others of its type", date(j.ReadAt))
	}
	return fmt.Sprintf("only %d of its type on the site have a value read lately, and %d are needed", m.n, leastPeers)
}

// room says whether the points of an area have risen together, by more than
// clean units of the type differ: by the median of their rises since each was
// clean, or, where that is not known, by their median against the level of clean
// units. Where the rises are known, two thirds of the points must have risen (ours).
func (c *comparison) room(m *measure, kind string, dirt float64) (RoomState, *float64) {
	clean, known := c.levels[kind]
	switch {
	case m.n < leastPeers:
		return RoomUnknown, nil
	case m.rise != nil:
		return raised(*m.rise > robust.OutlierZ*max(m.floor, clean.Unit) && 3*m.risen >= 2*m.known), m.rise
	case known:
		return raised(dirt*clean.Z(m.scale.Centre) > robust.OutlierZ), given(dirt * (m.scale.Centre - clean.Centre))
	}
	return RoomUnknown, nil
}

// shares reports whether a point itself has risen since it was clean, towards dirt.
func (c *comparison) shares(j *Judgement, floor float64) bool {
	dirt := dirtSign(j.Sheet)
	if start, ok := cleanStart(j.Point); ok {
		return dirt*(j.Value-start) > floor
	}
	clean, known := c.levels[sootline.TypeKey(j.Point.Type)]
	return known && dirt*(j.Value-clean.Centre) > floor
}

func raised(so bool) RoomState {
	if so {
		return RoomRaised
	}
	return RoomUsual
}

func (p *Peer) sentence(j *Judgement) string {
	among := fmt.Sprintf("the %d of its type %s, which rest at %s", p.N, cmp.Or(where(p.Within), "on the site"), amountOf(j.Sheet, p.Centre))
	dust := ""
	if p.Room == RoomRaised && p.Rise != nil && p.Shares {
		dust = "; the room is dusty: " + p.risen(j.Sheet)
	}
	switch p.State {
	case TwoLevels:
		return fmt.Sprintf("two levels among the %d of its type %s: none of them can be held against the others", p.N, cmp.Or(where(p.Within), "on the site")) + dust
	case HighAmong:
		if dust == "" && p.Room == RoomUsual && (j.Sheet == nil || !j.Sheet.Compensated) {
			dust = ": so the detector itself, where those stand in the same air"
		}
		return fmt.Sprintf("%s above %s (z %.1f)", amountOf(j.Sheet, j.Value-p.Centre), among, p.Z) + dust
	case LowAmong:
		return fmt.Sprintf("%s below %s (z %.1f)", amountOf(j.Sheet, p.Centre-j.Value), among, p.Z) + dust
	}
	return "among " + among + dust
}

// risen says how the detectors of the area went since each was clean.
func (p *Peer) risen(sheet *sootline.TypeSheet) string {
	verb := moved(dirtSign(sheet), "risen", "fallen")
	if p.Known < leastPeers {
		return fmt.Sprintf("its detectors have %s by %s since clean ones, in the middle", verb, amountOf(sheet, *p.Rise))
	}
	return fmt.Sprintf("%d have %s since each was clean, by %s in the middle, of the %d of this type there of which that is known", p.Risen, verb, amountOf(sheet, *p.Rise), p.Known)
}

func where(area string) string {
	if area == "" {
		return ""
	}
	return "in " + area
}
