package exchange

import "sootline"

// Line is a line of a log and the entry that it says.
type Line struct {
	Text  []byte
	Entry sootline.Entry
}

// Run is consecutive lines of one station on their way. The hashes of the lines are not
// sent: they follow from the chain, and the last one shows that nothing was changed.
type Run struct {
	Site    sootline.ID
	Station string
	First   int64
	Opens   *sootline.Hash // of the first line, where the sender lacks the line before it; nil: the receiver holds that
	Hash    sootline.Hash  // of the last line
	Lines   [][]byte       // without what closes them
	Head    *sootline.SignedHead
}

// Last is the number of the last line.
func (r *Run) Last() int64 { return r.First + int64(len(r.Lines)) - 1 }

// NewRun makes a run of lines, which follow one another. The station's newest signed head
// goes with them where it lies among them.
func NewRun(lines []Line, gap bool, head *sootline.SignedHead) (Run, error) {
	first, last := &lines[0].Entry, &lines[len(lines)-1].Entry
	run := Run{Site: first.Site, Station: first.Station, First: first.Seq, Hash: last.Hash}
	for i := range lines {
		text, ok := sootline.Unsealed(lines[i].Text)
		if !ok {
			return run, sootline.Errorf(sootline.Damaged, "see where", "line %d of station %s is not closed by its hash", lines[i].Entry.Seq, run.Station).Do(sootline.VerifyLog)
		}
		run.Lines = append(run.Lines, text)
	}
	if gap {
		run.Opens = &first.Hash
	}
	if head != nil && head.Seq >= run.First && head.Seq <= run.Last() {
		run.Head = head
	}
	return run, nil
}

// Open makes the lines again, as their station wrote them: those that follow a line with
// the hash given; nil: the receiver lacks that line too. What does not come to the hash
// that the run names was altered or cut.
func (r *Run) Open(before *sootline.Hash) ([]Line, error) {
	if before == nil && r.First > 1 && r.Opens == nil {
		return nil, sootline.Errorf(sootline.Conflict, "take in what comes before it, or exchange once more",
			"line %d of station %s follows one that is not here yet", r.First, r.Station)
	}
	chain := sootline.Chain{Seq: r.First - 1}
	if before != nil {
		chain.Hash = *before
	}
	var parser sootline.Parser
	lines := make([]Line, 0, len(r.Lines))
	for i, unsealed := range r.Lines {
		text := chain.Reseal(nil, unsealed)
		if i == 0 && before == nil && r.Opens != nil {
			chain.Hash = *r.Opens
			text = sootline.Sealed(nil, unsealed, chain.Hash)
		}
		entry, err := parser.Parse(text)
		if err != nil {
			return nil, altered(r, err)
		}
		if entry.Site != r.Site || entry.Station != r.Station || entry.Seq != chain.Seq {
			return nil, altered(r, nil)
		}
		lines = append(lines, Line{text, entry})
	}
	if chain.Hash != r.Hash {
		return nil, altered(r, nil)
	}
	return lines, r.signed(lines)
}

// signed reports a head that its key did not sign, or that is not of these lines.
func (r *Run) signed(lines []Line) error {
	h := r.Head
	if h == nil {
		return nil
	}
	if h.Site != r.Site || h.Station != r.Station || h.Seq < r.First || h.Seq > r.Last() || lines[h.Seq-r.First].Entry.Hash != h.Hash || !h.Genuine() {
		return sootline.Errorf(sootline.Damaged, again, "the head of station %s does not sign the lines that came with it", r.Station)
	}
	return nil
}

// again is the way out of a parcel that did not arrive as it was sent.
const again = "exchange once more; nothing of this site was taken in"

func altered(r *Run, cause error) error {
	if cause == nil {
		return sootline.Errorf(sootline.Damaged, again, "lines %d to %d of station %s did not arrive as they were written", r.First, r.Last(), r.Station)
	}
	return sootline.Errorf(sootline.Damaged, again, "lines %d to %d of station %s did not arrive as they were written: %w", r.First, r.Last(), r.Station, cause)
}
