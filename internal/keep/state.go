package keep

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"sootline"
	"sootline/internal/locks"
)

// State is what came of keeping a file, by the place. It is kept in a file of its
// own, so that whoever puts an old copy back does not put back what is said of
// copies.
type State struct {
	Places map[string]PlaceState      `json:"places"`
	Marks  map[string]json.RawMessage `json:"marks"` // what the file held as a copy began, by the copy's name
}

// PlaceState is what is known of a place.
type PlaceState struct {
	Last   *Copy     `json:"last,omitempty"`   // the newest that was brought there
	Holds  string    `json:"holds,omitempty"`  // tells what that holds from what else the file may hold
	Seen   time.Time `json:"seen,omitzero"`    // when the place was last known to hold all that was written
	Tried  time.Time `json:"tried,omitzero"`   // when a copy was last tried
	Failed string    `json:"failed,omitempty"` // why it did not succeed; empty: it did
	Drill  *Drill    `json:"drill,omitempty"`  // the last one
	Passed *Drill    `json:"passed,omitempty"` // the last one that passed
	Gone   *Gone     `json:"gone,omitempty"`   // what was kept there and is not there any more
}

// Drill is a copy that was fetched, put back elsewhere, and looked at.
type Drill struct {
	At     time.Time `json:"at"`
	Copy   Copy      `json:"copy"`
	Failed string    `json:"failed,omitempty"` // empty: it passed
}

// Gone is a copy that was the newest of a place and is not there any more: it was taken
// away, or the place is not the one it was, as where a disk is not mounted.
type Gone struct {
	Since time.Time `json:"since"` // when it was first missed
	Copy  Copy      `json:"copy"`
}

// ReadState reads the state; no file, an empty one. So is one that cannot be read:
// it follows from what is done next.
func ReadState(path string) (State, error) {
	state := State{Places: map[string]PlaceState{}, Marks: map[string]json.RawMessage{}}
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return state, nil
	}
	if err != nil {
		return state, sootline.Errorf(sootline.Unavailable, "look at who may read it", "read what is known of backups: %w", err)
	}
	var read State
	if json.Unmarshal(text, &read) != nil || read.Places == nil {
		return state, nil
	}
	if read.Marks == nil {
		read.Marks = state.Marks
	}
	return read, nil
}

// Change changes the state in its file, one program at a time. Marks of copies
// that are nowhere the newest are dropped.
func Change(path string, change func(*State)) (err error) {
	dir, err := os.Open(filepath.Dir(path))
	if err != nil {
		return cannotWrite(path, err)
	}
	defer func() { err = errors.Join(err, dir.Close()) }() // which gives the lock up
	if err := locks.Take(dir, locks.Exclusive|locks.Wait); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		return sootline.Errorf(sootline.Unavailable, "", "lock %s: %w", dir.Name(), err)
	}
	state, err := ReadState(path)
	if err != nil {
		return err
	}
	change(&state)
	state.dropMarks()
	text, err := json.MarshalIndent(state, "", "\t")
	if err != nil {
		return err
	}
	return writeWhole(path, text)
}

func (s *State) dropMarks() {
	newest := map[string]bool{}
	for _, p := range s.Places {
		if p.Last != nil {
			newest[p.Last.Name()] = true
		}
	}
	for name := range s.Marks {
		if !newest[name] {
			delete(s.Marks, name)
		}
	}
}

// writeNew writes a file that must not exist yet, readable by its owner alone.
func writeNew(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return sootline.Errorf(sootline.Conflict, "name a file that does not exist yet", "%s is there already", path)
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	_, err = f.Write(text)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(cannotWrite(path, err), os.Remove(path))
	}
	return nil
}

// writeWhole puts a file in the place of what is there, whole or not at all.
func writeWhole(path string, text []byte) error {
	part, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*"+partEnds) // mode 0600
	if err != nil {
		return cannotWrite(path, err)
	}
	_, err = part.Write(text)
	err = errors.Join(err, part.Sync(), part.Close())
	if err == nil {
		err = os.Rename(part.Name(), path)
	}
	if err != nil {
		return errors.Join(cannotWrite(path, err), os.Remove(part.Name()))
	}
	return nil
}

// Watched is a state that is asked for often: its file is read again when it has
// changed. It may be used by several goroutines.
type Watched struct {
	Path  string
	Sight Sight // of the places

	mu    sync.Mutex
	info  os.FileInfo
	state State
}

// State gives the state as its file stands.
func (w *Watched) State() (State, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	info, err := os.Stat(w.Path)
	if err == nil && w.info != nil && os.SameFile(info, w.info) && info.ModTime().Equal(w.info.ModTime()) {
		return w.state, nil // each change puts another file there
	}
	state, read := ReadState(w.Path)
	if read == nil && err == nil {
		w.info, w.state = info, state
	}
	return state, read
}
