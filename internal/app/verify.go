package app

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Verification is what following the chains of a site's log found, and what
// witnesses them.
type Verification struct {
	Lines    int
	Stations int
	Faults   []*sootline.Break // the first fault of the chains first; then what witnesses contradict
	Chains   []ChainVerdict    // by station
	Zone     *time.Location    // of the site's people
}

// ChainVerdict is what is known of one station's chain.
type ChainVerdict struct {
	Station   string
	Last      int64           // number of its last line here
	Key       *sootline.Key   // by which its heads are signed; nil: it never signed
	Signed    int64           // the number up to which it signed
	Here      bool            // this book holds the secret half of the key
	Unsigned  []store.Stretch // signed here only after they had stood here unsigned
	Witnesses []Witness
	Outside   int64 // the number up to which something witnesses it that this book cannot make anew
}

// Witness is what names a line of a chain, which closes all lines before it.
type Witness struct {
	Seq     int64
	File    string          // the file that holds the line; empty: an entry pins it
	Entry   *sootline.Entry // of another station, or nil
	Outside bool            // this book cannot make it anew
}

// Verify follows the chains of a site's log, and compares them with the heads that
// their stations signed and with every pin in the log. Reading it compares each
// page with what the book says of it.
func (a *App) Verify(ctx context.Context, site sootline.ID) (Verification, error) {
	return a.verify(ctx, site, nil)
}

// VerifyListed is Verify of a site in a list: its log must also hold as many lines as the
// list says. A book is written to meanwhile, so that it may be more, up to what it says
// afterwards.
func (a *App) VerifyListed(ctx context.Context, site store.SiteLine) (v Verification, err error) {
	err = ForSite(ctx, site, func() (err error) {
		before, err := a.Book.Counted(ctx, site.ID)
		if err != nil {
			return err
		}
		if v, err = a.Verify(ctx, site.ID); err != nil {
			return err
		}
		counted, err := a.Book.Counted(ctx, site.ID)
		if err != nil {
			return err
		}
		after, err := a.SiteOf(ctx, site.ID)
		switch {
		case err != nil:
			return err
		case after == nil:
			return sootline.NoSite()
		case v.Lines == 0:
			return sootline.Errorf(sootline.Damaged, "put a backup in the book's place", "the book holds no line of a log for it, and every log has a first").Do(sootline.RestoreBackup)
		case v.Lines < before || v.Lines > counted:
			return sootline.Errorf(sootline.Damaged, "rebuild the index from the log", "the index counts %d lines, and its log holds %d", counted, v.Lines).Do(sootline.RebuildIndex)
		case v.Lines < site.Entries || v.Lines > after.Entries:
			return sootline.Errorf(sootline.Damaged, "rebuild the index from the log", "the list counts %d lines, and its log holds %d", after.Entries, v.Lines).Do(sootline.RebuildIndex)
		}
		return nil
	})
	return v, err
}

// VerifyAgainst also compares with a file kept elsewhere: an export or a backup of
// any date. Every head that it holds must be on the chains here.
func (a *App) VerifyAgainst(ctx context.Context, site sootline.ID, path string) (Verification, error) {
	if err := a.Who.MaySee(site); err != nil {
		return Verification{}, err
	}
	file, err := readWitness(ctx, path, site)
	if err != nil {
		return Verification{}, err
	}
	return a.verify(ctx, site, file)
}

func (a *App) verify(ctx context.Context, site sootline.ID, file *witnessFile) (Verification, error) {
	if err := a.Who.MaySee(site); err != nil {
		return Verification{}, err
	}
	log := followed{ledger: sootline.Ledger{}, chains: map[string]*followedChain{}}
	kept, err := a.Book.Whole(ctx, site, log.follow)
	if err != nil {
		return Verification{}, err
	}
	log.signed(&kept)
	log.pinned()
	if file != nil {
		log.filed(file)
	}
	v := Verification{Lines: log.lines, Stations: len(log.ledger), Faults: log.faults}
	for _, station := range slices.Sorted(maps.Keys(log.chains)) {
		v.Chains = append(v.Chains, log.chains[station].ChainVerdict)
	}
	// What a zone follows from is a few entries; the rest of the log need not be kept.
	v.Zone, err = Zone(sootline.Fold(log.facts, Always).Site.Zone)
	return v, err
}

// followed is a log while it is verified.
type followed struct {
	ledger sootline.Ledger
	lines  int
	faults []*sootline.Break
	chains map[string]*followedChain
	pins   []sootline.Pin
	facts  []sootline.Entry // what the site's zone follows from
}

// followedChain keeps the hash of each line, so that any head can be looked up.
type followedChain struct {
	ChainVerdict
	seqs    []int64
	hashes  []sootline.Hash
	claimed int64 // up to which the head that is kept goes, right or wrong
}

func (f *followed) follow(line store.Line) error {
	f.lines++
	e := &line.Entry
	if fault := f.ledger.Follow(line.Text, e); fault != nil {
		f.faults = append(f.faults, fault)
	}
	chain := f.chain(e.Station)
	if e.Seq > chain.Last { // else it is out of order, which is a fault already
		chain.Last = e.Seq
		chain.seqs, chain.hashes = append(chain.seqs, e.Seq), append(chain.hashes, e.Hash)
	}
	if _, pins := e.Body.(sootline.Witness); pins {
		kept := *e // the pins point to it; the others need no room
		f.pins = append(f.pins, sootline.PinsOf(&kept)...)
	}
	switch e.Body.(type) {
	case sootline.Opened, sootline.Corrected, sootline.Withdrawn:
		f.facts = append(f.facts, *e)
	}
	return nil
}

func (f *followed) chain(station string) *followedChain {
	chain := f.chains[station]
	if chain == nil {
		chain = &followedChain{ChainVerdict: ChainVerdict{Station: station}}
		f.chains[station] = chain
	}
	return chain
}

// holds looks whether a head is on its chain; says tells who names its line.
func (f *followed) holds(head sootline.Head, says string) bool {
	chain := f.chain(head.Station)
	at, there := slices.BinarySearch(chain.seqs, head.Seq)
	switch {
	case head.Seq > chain.Last:
		f.fault(head.Station, chain.Last+1, fmt.Sprintf("it is missing; line %d is one that %s", head.Seq, says))
	case !there:
		f.fault(head.Station, head.Seq, "it is missing, and is one that "+says)
	case chain.hashes[at] != head.Hash:
		f.fault(head.Station, head.Seq, "it is not the line that "+says+": it, or one before it, was written anew")
	default:
		return true
	}
	return false
}

func (f *followed) fault(station string, seq int64, what string) {
	f.faults = append(f.faults, &sootline.Break{Station: station, Seq: seq, What: what})
}

// signed compares the chains with the heads that are kept beside them.
func (f *followed) signed(kept *store.Kept) {
	for i := range kept.Heads {
		head := &kept.Heads[i]
		f.chain(head.Station).claimed = head.Seq
		if !head.Genuine() {
			f.fault(head.Station, head.Seq, "the signature kept for it was not made with the station's key")
			continue
		}
		chain := f.chain(head.Station)
		if !f.holds(head.Head, "its station signed") {
			continue
		}
		chain.Key, chain.Signed, chain.Here = &head.Key, head.Seq, head.Here
		if !head.Here {
			chain.Outside = head.Seq
		}
	}
	for _, stretch := range kept.Unsigned {
		chain := f.chain(stretch.Station)
		chain.Unsigned = append(chain.Unsigned, stretch)
	}
	for _, chain := range f.chains {
		if seq, found := chain.unexplained(); found {
			f.fault(chain.Station, seq, "its station did not sign it, and it came in by no import: this program did not write it here")
		}
	}
}

// unexplained finds the first line that neither a head nor a remembered stretch
// covers. The program writes none without one of the two.
func (c *followedChain) unexplained() (int64, bool) {
	at, found := slices.BinarySearch(c.seqs, c.claimed)
	if found {
		at++
	}
	for _, seq := range c.seqs[at:] {
		if !slices.ContainsFunc(c.Unsigned, func(s store.Stretch) bool { return s.First <= seq && seq <= s.Last }) {
			return seq, true
		}
	}
	return 0, false
}

// pinned compares the chains with every pin in the log.
func (f *followed) pinned() {
	slices.SortStableFunc(f.pins, func(a, b sootline.Pin) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Seq, b.Seq))
	})
	for _, pin := range f.pins {
		by := f.chain(pin.Entry.Station)
		if pin.Station == by.Station {
			continue // a chain does not witness itself
		}
		if f.holds(pin.Head, fmt.Sprintf("line %d of station %s pinned", pin.Entry.Seq, by.Station)) {
			outside := by.Key != nil && !by.Here && pin.Entry.Seq <= by.Signed
			f.chain(pin.Station).witness(Witness{Seq: pin.Seq, Entry: pin.Entry, Outside: outside})
		}
	}
}

// witness keeps the newest witness of each station and kind.
func (c *followedChain) witness(w Witness) {
	same := func(old Witness) bool {
		return old.File == w.File && (w.Entry == nil || old.Entry.Station == w.Entry.Station && old.Entry.Body.Kind() == w.Entry.Body.Kind())
	}
	c.Witnesses = append(slices.DeleteFunc(c.Witnesses, same), w)
	if w.Outside {
		c.Outside = max(c.Outside, w.Seq)
	}
}

// filed compares the chains with a file kept elsewhere. Its heads are in order, so
// that the first fault of a station is where the two part.
func (f *followed) filed(file *witnessFile) {
	parted := map[string]bool{}
	for _, head := range file.heads {
		if parted[head.Station] {
			continue
		}
		if !f.holds(head, "is in "+file.name) {
			parted[head.Station] = true
			continue
		}
		f.chain(head.Station).witness(Witness{Seq: head.Seq, File: file.name, Outside: true})
	}
	for i := range file.signed {
		head := &file.signed[i]
		if key := f.chain(head.Station).Key; key != nil && *key != head.Key {
			f.fault(head.Station, head.Seq, fmt.Sprintf("%s is signed with the key %s, and the station is known here by %s", file.name, head.Key, key))
		}
	}
}
