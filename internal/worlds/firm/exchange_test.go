package firm

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
)

// said is a line of the stations of this test.
type said struct {
	ID       string   `json:"id"`
	Station  string   `json:"station"`
	Seq      int64    `json:"seq"`
	Key      string   `json:"key"`
	Value    string   `json:"value"`
	Replaces []string `json:"replaces,omitempty"`
}

// memory is a station that keeps runs of lines by the name under which they were
// written, with one mistake or none.
type memory struct {
	name    string
	mistake string
	eras    *int
	chains  map[string][]said
	marked  map[string]int64 // how far each chain is held to have come
}

func (s *memory) lines() []said {
	var all []said
	for _, name := range slices.Sorted(maps.Keys(s.chains)) {
		all = append(all, s.chains[name]...)
	}
	return all
}

// standing gives the lines of each key that no other replaces.
func (s *memory) standing() map[string][]string {
	over, found := map[string]bool{}, map[string][]string{}
	for _, line := range s.lines() {
		for _, id := range line.Replaces {
			over[id] = true
		}
	}
	for _, line := range s.lines() {
		if !over[line.ID] {
			found[line.Key] = append(found[line.Key], line.ID)
		}
	}
	return found
}

func (s *memory) Write(f Fact, settles bool) (string, error) {
	replaces := s.standing()[f.Key]
	if !settles && len(replaces) > 1 {
		return "", errors.New("this was changed in two places")
	}
	if s.mistake == "settles one" && len(replaces) > 1 {
		replaces = replaces[:1]
	}
	if s.mistake == "names none" {
		replaces = nil
	}
	*s.eras++
	line := said{fmt.Sprintf("e%d", *s.eras), s.name, int64(len(s.chains[s.name]) + 1), f.Key, f.Value, replaces}
	s.chains[s.name] = append(s.chains[s.name], line)
	s.marked[s.name] = line.Seq
	return line.ID, nil
}

func (s *memory) Lines() ([]Held, error) {
	var held []Held
	for _, line := range s.lines() {
		text, err := json.Marshal(line)
		if err != nil {
			return nil, err
		}
		held = append(held, Held{line.ID, line.Station, line.Seq, string(text)})
	}
	return held, nil
}

func (s *memory) Conflicts() ([]Conflict, error) {
	var all []Conflict
	for key, ids := range s.standing() {
		if s.mistake == "names two" {
			ids = ids[:min(2, len(ids))]
		}
		if len(ids) > 1 && s.mistake != "last wins" {
			all = append(all, Conflict{key, ids})
		}
	}
	return all, nil
}

func (s *memory) Offer() ([]byte, error) { return json.Marshal(s.marked) }

// Want answers with how far the chains go that the other one has more of.
func (s *memory) Want(offer []byte) ([]byte, error) {
	var theirs map[string]int64
	if err := json.Unmarshal(offer, &theirs); err != nil {
		return nil, err
	}
	want := map[string]int64{}
	for name, last := range theirs {
		if last > s.marked[name] || s.mistake == "asks for all" {
			want[name] = s.marked[name]
		}
	}
	return json.Marshal(want)
}

func (s *memory) Send(want []byte) ([][]byte, error) {
	var after map[string]int64
	if err := json.Unmarshal(want, &after); err != nil {
		return nil, err
	}
	var lines []said
	for _, name := range slices.Sorted(maps.Keys(after)) {
		from := after[name]
		if s.mistake == "sends all" || s.mistake == "asks for all" {
			from = 0
		}
		lines = append(lines, s.chains[name][min(int(from), len(s.chains[name])):]...)
	}
	var all [][]byte
	for part := range slices.Chunk(lines, 12) {
		packet, err := pack(part)
		if err != nil {
			return nil, err
		}
		all = append(all, packet)
	}
	return all, nil
}

func pack(lines []said) ([]byte, error) {
	text, err := json.Marshal(lines)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	sum := sha256.Sum256(text)
	out.Write(sum[:8])
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (s *memory) Receive(packet []byte) error {
	if s.mistake == "refuses" {
		return errors.New("not today")
	}
	if len(packet) < 8 {
		return errors.New("the packet was cut")
	}
	text, err := io.ReadAll(flate.NewReader(bytes.NewReader(packet[8:])))
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(text); !bytes.Equal(sum[:8], packet[:8]) && s.mistake != "no seal" {
		return errors.New("the packet was altered")
	}
	var lines []said
	if err := json.Unmarshal(text, &lines); err != nil {
		return err
	}
	for _, line := range lines {
		if err := s.take(line); err != nil {
			return err
		}
	}
	return nil
}

// take adds a line where it is the next of its chain, and passes over one that is there.
func (s *memory) take(line said) error {
	have := s.marked[line.Station]
	switch {
	case s.mistake == "doubles" && line.Seq <= have:
	case s.mistake == "leaves a gap" && line.Seq > have:
	case line.Seq <= have:
		return nil
	case line.Seq > have+1:
		return errors.New("what it follows is not there")
	}
	s.chains[line.Station] = append(s.chains[line.Station], line)
	s.marked[line.Station] = max(have, line.Seq)
	return nil
}

func (s *memory) Backup() ([]byte, error) { return json.Marshal(s.chains) }

func (s *memory) Restore(backup []byte) error {
	s.chains, s.marked = map[string][]said{}, map[string]int64{}
	if err := json.Unmarshal(backup, &s.chains); err != nil {
		return err
	}
	for name, lines := range s.chains {
		s.marked[name] = int64(len(lines))
	}
	if s.mistake != "old name" {
		*s.eras++
		s.name = fmt.Sprintf("%s~%d", strings.Split(s.name, "~")[0], *s.eras)
	}
	return nil
}

func fiveOf(mistake string) []Station {
	eras := 0
	var all []Station
	for n := range stations {
		all = append(all, &memory{name: fmt.Sprint("s", n), mistake: mistake, eras: &eras, chains: map[string][]said{}, marked: map[string]int64{}})
	}
	return all
}

// TestExchangeStands: stations without a mistake converge in every history, and the
// histories hold what makes it hard.
func TestExchangeStands(t *testing.T) {
	n := 200
	if testing.Short() {
		n = 40
	}
	var cost Cost
	deeds := map[Deed]int{}
	for i, moves := range Histories(1, n) {
		one, err := Exchange(fiveOf(""), moves)
		if err != nil {
			t.Fatalf("history %d: %v", i, err)
		}
		cost.Add(one)
		for _, m := range moves {
			deeds[m.Deed]++
		}
	}
	t.Logf("%d histories: %+v, %.2f times, packed %.2f times; %v", n, cost, cost.Ratio(), cost.PackedRatio(), deeds)
	if cost.Lost == 0 || cost.Disputed < n || len(deeds) != 10 {
		t.Errorf("lost %d, disputed %d, deeds %v: the histories are too easy", cost.Lost, cost.Disputed, deeds)
	}
}

// TestExchangeFindsMistakes: each planted mistake is found within a hundred histories, and by what it does.
func TestExchangeFindsMistakes(t *testing.T) {
	for mistake, found := range map[string]string{
		"last wins": "does not say so", "names none": "each had seen the one before", "names two": "and it names", "settles one": "each had seen the one before",
		"sends all": "were sent for lines that pack to", "asks for all": "with nothing to bring", "old name": "is given to two entries", "doubles": "twice", "leaves a gap": "did not come", "refuses": "not today",
		"no seal": "one thing here and another there",
	} {
		t.Run(mistake, func(t *testing.T) {
			var all []string
			for i, moves := range Histories(2, 100) {
				if _, err := Exchange(fiveOf(mistake), moves); err != nil {
					all = append(all, err.Error())
					if strings.Contains(err.Error(), found) {
						t.Logf("found in history %d", i)
						return
					}
				}
			}
			t.Errorf("it is not found by %q; told: %.600s", found, strings.Join(all, "\n"))
		})
	}
}
