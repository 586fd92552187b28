package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/pgtest"
)

// mixed is a log of several stations and kinds, some entries of which two
// stations noted, in an order of ids that is not the order of writing.
func mixed(site sootline.ID, n int) (byStation map[string][]sootline.Entry) {
	chance := rand.New(rand.NewPCG(uint64(n), 7))
	byStation = map[string][]sootline.Entry{}
	for i, e := range readings(site, "laptop", 0, n) {
		if i%97 == 0 {
			e.Body = sootline.Note{Text: fmt.Sprintf(`says "kind":"fitted" %d`, i)}
		}
		if i%250 == 0 {
			e.Body = sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}}
		}
		byStation["laptop"] = append(byStation["laptop"], e)
		if i%50 == 0 {
			e.Station = "phone"
			byStation["phone"] = append(byStation["phone"], e)
		}
	}
	for _, entries := range byStation {
		chance.Shuffle(len(entries), func(a, b int) { entries[a], entries[b] = entries[b], entries[a] })
	}
	return byStation
}

// addAll adds entries in lots of several sizes, so that blocks are split and
// written anew.
func addAll(t testing.TB, s *Store, byStation map[string][]sootline.Entry) {
	t.Helper()
	for station := range byStation {
		for lot := range slices.Chunk(byStation[station], 700) {
			add(t, s, lot[:1])
			if len(lot) > 1 {
				add(t, s, lot[1:])
			}
		}
	}
}

func check(t testing.TB, s *Store) {
	t.Helper()
	if err := s.Check(context.Background()); err != nil {
		t.Error(err)
	}
}

func TestFind(t *testing.T) {
	ctx := context.Background()
	s := open(t, pgtest.Book(t))
	site := siteID("works")
	logs := mixed(site, 6000)
	addAll(t, s, logs)
	add(t, s, readings(siteID("mill"), "laptop", 90_000, 10))
	copies := map[sootline.ID]int{}
	for _, e := range slices.Concat(logs["laptop"], logs["phone"]) {
		copies[e.ID]++
	}
	for id, want := range copies {
		found, err := s.Find(ctx, site, id)
		if err != nil || len(found) != want {
			t.Fatalf("entry %s: %d copies, %v, want %d", id, len(found), err, want)
		}
		if slices.ContainsFunc(found, func(e sootline.Entry) bool { return e.ID != id }) {
			t.Fatalf("entry %s: found another", id)
		}
	}
	stray := readings(siteID("mill"), "laptop", 90_000, 1)[0].ID
	held, err := s.Has(ctx, site, stray, logs["phone"][0].ID, sootline.ID{})
	if err != nil || len(held) != 1 || !held[logs["phone"][0].ID] {
		t.Errorf("the log has %v of them, %v", held, err)
	}
	check(t, s)
}

// What a reader has not seen, or is of a kind, is what is left of all lines.
func TestSomeLines(t *testing.T) {
	ctx := context.Background()
	s := open(t, pgtest.Book(t))
	site := siteID("works")
	addAll(t, s, mixed(site, 6000))
	all, err := s.Entries(ctx, site)
	if err != nil {
		t.Fatal(err)
	}
	same := func(what string, got []sootline.Entry, err error, keep func(e sootline.Entry) bool) {
		t.Helper()
		want := slices.DeleteFunc(slices.Clone(all), func(e sootline.Entry) bool { return !keep(e) })
		if err != nil || len(got) != len(want) || len(want) > 0 && !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %d entries, %v, want %d", what, len(got), err, len(want))
		}
	}
	for _, seen := range []map[string]int64{{}, {"laptop": 1}, {"laptop": 700, "phone": 3}, {"laptop": 701}, {"laptop": 6000}, {"laptop": 5999, "phone": 999}} {
		got, err := collect(s.LinesAfter(ctx, site, seen))
		same(fmt.Sprint("after ", seen), got, err, func(e sootline.Entry) bool { return e.Seq > seen[e.Station] })
	}
	for _, kinds := range [][]sootline.Kind{{sootline.FittedKind}, {sootline.NoteKind, sootline.FittedKind}, {sootline.AlarmKind}, {}} {
		got, err := collect(s.LinesOfKinds(ctx, site, kinds...))
		same(fmt.Sprint("of kinds ", kinds), got, err, func(e sootline.Entry) bool { return slices.Contains(kinds, e.Body.Kind()) })
	}
	heads, err := s.Heads(ctx, site)
	if err != nil || len(heads) != 2 || heads["laptop"].Seq != 6000 || heads["phone"].Seq != 120 {
		t.Errorf("the chains end at %v, %v", heads, err)
	}
}

// index gives all that the tables of the index say.
func index(t testing.TB, s *Store) (said []string) {
	t.Helper()
	v := s.view(context.Background())
	for b, err := range v.blocks(`SELECT first, spots FROM entry_block ORDER BY site, first`) {
		if err != nil {
			t.Fatal(err)
		}
		for _, spot := range b.spots {
			said = append(said, fmt.Sprint(spot))
		}
	}
	for _, query := range []string{
		`SELECT site || ' ' || kind || ' ' || station || ' ' || first FROM kind_page ORDER BY site, kind, station, first`,
		`SELECT site || ' ' || station || ' ' || entries || ' ' || last || ' ' || hash || ' ' || ended FROM station_log ORDER BY site, station`,
	} {
		rows, err := s.read.Query(query)
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			var text string
			if err := rows.Scan(&text); err != nil {
				t.Fatal(err)
			}
			said = append(said, text)
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
	}
	return said
}

// An index that was dropped, or damaged, is rebuilt as it was.
func TestReindex(t *testing.T) {
	ctx := context.Background()
	for _, damage := range []string{
		``, `DROP TABLE station_log; DROP TABLE kind_page; DROP TABLE entry_block`,
		`DELETE FROM entry_block`, `DELETE FROM kind_page WHERE kind = 'fitted'`, `ALTER TABLE station_log RENAME COLUMN last TO latest`,
	} {
		t.Run(damage, func(t *testing.T) {
			s := open(t, pgtest.Book(t))
			site := siteID("works")
			addAll(t, s, mixed(site, 3000))
			add(t, s, readings(siteID("mill"), "laptop", 0, 10))
			check(t, s)
			before := index(t, s)
			if _, err := s.write.Exec(damage); err != nil {
				t.Fatal(err)
			}
			if err := s.Check(ctx); (err == nil) != (damage == "") {
				t.Errorf("the check says %v", err)
			}
			told := 0
			if err := s.Reindex(ctx, func(done, total int) { told = done*10_000/total + total }); err != nil {
				t.Fatal(err)
			}
			if all := 3000 + 60 + 10; told != 10_000+all {
				t.Errorf("the work was not told of to its end: %d", told)
			}
			if after := index(t, s); !slices.Equal(before, after) {
				t.Error("the index is not what it was")
			}
			check(t, s)
			add(t, s, readings(site, "laptop", 100_000, 3))
			check(t, s)
		})
	}
}

// A damage to the index is found, by the check and by what relies on it, and the
// sentence says how to mend it.
func TestDamageToIndexIsFound(t *testing.T) {
	ctx := context.Background()
	site := siteID("works")
	entries := readings(site, "laptop", 0, 1000)
	check := func(s *Store) error { return s.Check(ctx) }
	find := func(s *Store) error { _, err := s.Find(ctx, site, entries[500].ID); return err }
	kinds := func(s *Store) error {
		_, err := collect(s.LinesOfKinds(ctx, site, sootline.ReadKind))
		return err
	}
	write := func(s *Store) error {
		return s.Write(ctx, func(tx *Tx) error {
			return tx.Append(site, "laptop", func(w *Writer) error { return w.Add(readings(site, "laptop", 5000, 1)[0]) })
		})
	}
	for change, read := range map[string]func(*Store) error{
		`DELETE FROM entry_block WHERE first = (SELECT first FROM entry_block ORDER BY first LIMIT 1)`: check,
		`UPDATE entry_block SET spots = substr(spots, 1, 24)`:                                          check,
		`UPDATE entry_block SET spots = substr(spots, 1, 25)`:                                          find,
		`UPDATE entry_block SET spots = substr(spots, 1, 12) || 'abcdefghijkl' || substr(spots, 25)`:   find,
		`UPDATE station_log SET station = 'another'`:                                                   find,
		`UPDATE station_log SET last = last - 1`:                                                       write,
		`UPDATE station_log SET entries = 'all'`:                                                       check,
		`UPDATE station_log SET entries = entries + 1`:                                                 check,
		`UPDATE station_log SET ended = ended + 1`:                                                     check,
		`UPDATE site_head SET entries = entries + 1`:                                                   check, `UPDATE site_head SET stations = 0`: check, `UPDATE site_head SET ended = NULL`: check, `DELETE FROM site_head`: check,
		`DELETE FROM station_log`:                write,
		`UPDATE kind_page SET kind = 'note'`:     check,
		`UPDATE kind_page SET first = first + 1`: kinds,
		`INSERT INTO station_log VALUES ('00000000-0000-7000-8000-000000000000', 'x', 1, 1, 'h', 0)`: check,
		`DROP TABLE entry_block`: find,
	} {
		t.Run(change, func(t *testing.T) {
			s := open(t, pgtest.Book(t))
			add(t, s, entries)
			if !spoil(t, s, change) {
				return
			}
			err := read(s)
			if sootline.ErrorCode(err) != sootline.Damaged || !strings.Contains(sootline.ErrorHint(err), "rebuild it from the log") {
				t.Errorf("got %v (%s)", err, sootline.ErrorHint(err))
			}
		})
	}
}

// Finding costs what is found, not what the log has grown to.
func BenchmarkFind(b *testing.B) {
	for _, n := range []int{7_000, 100_000, 500_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := open(b, pgtest.Book(b))
			entries := readings(siteID("works"), "laptop", 0, n)
			add(b, s, entries)
			i := 0
			for b.Loop() {
				i += 7919
				if found, err := s.Find(context.Background(), siteID("works"), entries[i%n].ID); err != nil || len(found) != 1 {
					b.Fatal(len(found), err)
				}
			}
		})
	}
}
