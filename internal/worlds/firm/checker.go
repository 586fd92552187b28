package firm

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
)

// Cost is what the transfers of a history took, in bytes. Only transfers that nothing
// happened to are counted, and of these apart those that had nothing to bring.
type Cost struct {
	Lacking  int // of the lines that the receiver lacked, as an export has them
	Sent     int // of offers, wants and packets, where lines were lacking
	Packed   int // of the lines lacking, packed by DEFLATE in one piece a transfer
	Packets  int // of the packets alone, where lines were lacking
	Pieces   int // how many packets those were
	Idle     int // the most that packets of one transfer weighed where nothing was lacking
	Vectors  int // offers and wants, of all transfers
	Lost     int // entries that only a station held which was put back
	Disputed int // keys that ended in conflict
}

// Ratio is sent over lacking.
func (c Cost) Ratio() float64 { return float64(c.Sent) / float64(max(1, c.Lacking)) }

// Add sums costs; of what is sent for nothing it keeps the most.
func (c *Cost) Add(d Cost) {
	c.Lacking, c.Sent, c.Idle, c.Vectors = c.Lacking+d.Lacking, c.Sent+d.Sent, max(c.Idle, d.Idle), c.Vectors+d.Vectors
	c.Packed, c.Packets, c.Pieces = c.Packed+d.Packed, c.Packets+d.Packets, c.Pieces+d.Pieces
	c.Lost, c.Disputed = c.Lost+d.Lost, c.Disputed+d.Disputed
}

// MostRatio is the largest share of sent over lacking bytes of a history: of all that is
// sent over the lines as an export has them, and, since packing alone would hide a whole
// log that is sent anew, of the packets, but for mostWrapping of each, over the same
// lines packed.
const MostRatio = 1.2

// mostWrapping is what a packet may weigh beside the lines in it: names, seal, and what
// packing in several pieces costs. A choice of ours, no source.
const mostWrapping = 128

// PackedRatio is what the packets weigh, their wrapping left out, over the lines packed.
func (c Cost) PackedRatio() float64 {
	return float64(c.Packets-c.Pieces*mostWrapping) / float64(max(1, c.Packed))
}

// mostIdle is what the packets of a transfer with nothing to bring may weigh.
const mostIdle = 64

// written is an entry, and which entries of its key were in sight when it was written.
type written struct {
	key  string
	seen []string
}

// packets are on their way to a station.
type packets struct {
	to   int
	list [][]byte
}

// exchange plays a history, and knows what each station must hold.
type exchange struct {
	all     []Station
	held    []map[string]Held // by id, as each said last
	backups [stations][]byte
	backed  [stations]map[string]Held
	wrote   map[string]written
	texts   map[string]string // every line ever seen, by id
	turns   map[string]string // id by station and number
	late    []packets
	lost    map[string]bool // entries that a restore may have lost
	cost    Cost
}

// Exchange plays a history on five stations, which begin empty and are of one site, and
// lets them transfer to one another until nothing changes. An error says what does not
// hold: a line that vanished, was altered, or is there twice; a number given twice;
// stations that do not come to hold the same; a conflict that is not named by each of
// them, or one that is none; bytes beyond [MostRatio] times what was lacking.
func Exchange(all []Station, moves []Move) (Cost, error) {
	x := &exchange{all: all, wrote: map[string]written{}, texts: map[string]string{}, turns: map[string]string{}, lost: map[string]bool{}}
	if len(all) != stations {
		return Cost{}, fmt.Errorf("a history is of %d stations, not of %d", stations, len(all))
	}
	for range all {
		x.held = append(x.held, map[string]Held{})
	}
	for n, m := range moves {
		if err := x.move(m); err != nil {
			return x.cost, fmt.Errorf("move %d, %s from %d to %d: %w", n, m.Deed, m.From, m.To, err)
		}
	}
	if err := x.converge(); err != nil {
		return x.cost, err
	}
	err := errors.Join(x.whole(), x.conflicts(), x.bytes())
	return x.cost, err
}

func (x *exchange) move(m Move) error {
	switch m.Deed {
	case Writing:
		return x.write(m)
	case BackingUp:
		backup, err := x.all[m.From].Backup()
		x.backups[m.From], x.backed[m.From] = backup, maps.Clone(x.held[m.From])
		return err
	case Restoring:
		return x.restore(m.From)
	case Arrival:
		return x.arrive()
	}
	return x.transfer(m)
}

func (x *exchange) write(m Move) error {
	for _, fact := range m.Facts {
		var seen []string
		for id := range x.held[m.From] {
			if x.wrote[id].key == fact.Key {
				seen = append(seen, id)
			}
		}
		shown, err := x.shows(m.From, fact.Key)
		if err != nil {
			return err
		}
		if standing := x.standing(seen); len(standing) > 1 && !shown {
			return fmt.Errorf("%s was changed in %d places (%v), and the station that holds them does not say so", fact.Key, len(standing), standing)
		}
		if err := x.writeFact(m.From, fact, shown, seen); err != nil {
			return err
		}
	}
	return x.look(m.From, nil)
}

// shows reports whether a station shows a conflict of a key.
func (x *exchange) shows(station int, key string) (bool, error) {
	found, err := x.all[station].Conflicts()
	return slices.ContainsFunc(found, func(c Conflict) bool { return c.Key == key }), err
}

func (x *exchange) writeFact(station int, fact Fact, settles bool, seen []string) error {
	id, err := x.all[station].Write(fact, settles)
	if err != nil {
		return err
	}
	if _, twice := x.wrote[id]; twice {
		return fmt.Errorf("entry %s is written a second time", id)
	}
	x.wrote[id] = written{fact.Key, seen}
	x.held[station][id] = Held{ID: id} // acknowledged: from now on the station may not lack it
	return nil
}

// standing gives those of some entries that none of the others had seen.
func (x *exchange) standing(ids []string) []string {
	over := map[string]bool{}
	for _, id := range ids {
		for _, seen := range x.wrote[id].seen {
			over[seen] = true
		}
	}
	standing := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return over[id] })
	slices.Sort(standing)
	return standing
}

// look asks a station what it holds. It must be what it held before, and besides that
// only lines that may have come.
func (x *exchange) look(station int, may map[string]Held) error {
	lines, err := x.all[station].Lines()
	if err != nil {
		return err
	}
	now := map[string]Held{}
	for _, line := range lines {
		if _, twice := now[line.ID]; twice {
			return fmt.Errorf("station %d holds entry %s twice", station, line.ID)
		}
		now[line.ID] = line
		if err := x.same(line); err != nil {
			return err
		}
		_, before := x.held[station][line.ID]
		if _, came := may[line.ID]; !before && !came {
			return fmt.Errorf("station %d holds entry %s, which nobody brought", station, line.ID)
		}
	}
	for id := range x.held[station] {
		if _, there := now[id]; !there {
			return fmt.Errorf("station %d no longer holds entry %s", station, id)
		}
	}
	x.held[station] = now
	return nil
}

// same reports a line that is not what it was elsewhere, or has the number of another.
func (x *exchange) same(line Held) error {
	if text, known := x.texts[line.ID]; known && text != line.Text {
		return fmt.Errorf("entry %s says one thing here and another there", line.ID)
	}
	turn := fmt.Sprintf("%s %d", line.Station, line.Seq)
	if id, taken := x.turns[turn]; taken && id != line.ID {
		return fmt.Errorf("number %d of station %s is given to two entries", line.Seq, line.Station)
	}
	x.texts[line.ID], x.turns[turn] = line.Text, line.ID
	return nil
}

func (x *exchange) restore(station int) error {
	if x.backups[station] == nil {
		return nil
	}
	for id := range x.held[station] {
		elsewhere := false
		for other := range x.all {
			_, holds := x.held[other][id]
			elsewhere = elsewhere || other != station && holds
		}
		if _, kept := x.backed[station][id]; !kept && !elsewhere {
			x.lost[id] = true
		}
	}
	if err := x.all[station].Restore(x.backups[station]); err != nil {
		return err
	}
	x.held[station] = maps.Clone(x.backed[station])
	return x.look(station, nil)
}

// known is all that was ever written: what a late packet may bring.
func (x *exchange) known() map[string]Held {
	all := map[string]Held{}
	for id := range x.wrote {
		all[id] = Held{ID: id}
	}
	return all
}

// arrive lets all that is on its way come in, the latest first.
func (x *exchange) arrive() error {
	slices.Reverse(x.late)
	for _, p := range x.late {
		for _, packet := range p.list {
			_ = x.all[p.to].Receive(packet) // it may be refused: it may follow what was lost
		}
		if err := x.look(p.to, x.known()); err != nil {
			return err
		}
	}
	x.late = nil
	return nil
}

func (x *exchange) transfer(m Move) error {
	from, to := x.all[m.From], x.all[m.To]
	offer, err := from.Offer()
	if err != nil {
		return err
	}
	want, err := to.Want(offer)
	if err != nil {
		return err
	}
	sent, err := from.Send(want)
	if err != nil {
		return err
	}
	if m.Deed == Late {
		x.late = append(x.late, packets{m.To, sent})
		return nil
	}
	if m.Deed == Clean {
		if err := x.weigh(m, len(offer)+len(want), sent); err != nil {
			return err
		}
	}
	if err := deliver(to, m, sent); err != nil {
		return err
	}
	if err := x.look(m.To, x.held[m.From]); err != nil {
		return err
	}
	if m.Deed == Clean || m.Deed == Doubled {
		return x.brought(m)
	}
	return nil
}

// brought reports what a transfer that went well did not bring.
func (x *exchange) brought(m Move) error {
	for id := range x.held[m.From] {
		if _, there := x.held[m.To][id]; !there {
			return fmt.Errorf("entry %s was lacking and did not come", id)
		}
	}
	return nil
}

// deliver brings packets to a station in the way of a move. Only what comes whole and in
// order may not be refused.
func deliver(to Station, m Move, sent [][]byte) error {
	sent = slices.Clone(sent)
	switch m.Deed {
	case Reordered:
		rng := rand.New(rand.NewPCG(m.Seed, 0))
		rng.Shuffle(len(sent), func(i, j int) { sent[i], sent[j] = sent[j], sent[i] })
	case Cut:
		sent = cut(sent, m.Part)
	}
	for _, packet := range sent {
		switch {
		case m.Deed == Flipped && len(packet) > 0:
			packet = slices.Clone(packet)
			packet[int(m.Part*float64(len(packet)))] ^= 1 << (m.Seed % 8)
		case m.Deed == Doubled:
			if err := to.Receive(packet); err != nil {
				return err
			}
		}
		if err := to.Receive(packet); err != nil && (m.Deed == Clean || m.Deed == Doubled) {
			return err
		}
	}
	return nil
}

// cut keeps a part of the bytes of all packets.
func cut(sent [][]byte, part float64) [][]byte {
	all := 0
	for _, packet := range sent {
		all += len(packet)
	}
	var kept [][]byte
	for room := int(part * float64(all)); room > 0 && len(sent) > 0; sent = sent[1:] {
		packet := sent[0][:min(room, len(sent[0]))]
		kept, room = append(kept, packet), room-len(packet)
	}
	return kept
}
