package ear

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/locks"
)

// Journal keeps what was heard as it came, a JSON line for each piece, each with the hash of all before it: so that lines can
// be read anew when how they are read was mended, and what was altered is found. It is cut into files of a bounded size, and the
// oldest are removed after a while.
type Journal struct {
	folder string
	lock   *os.File // whoever has it adds
	file   *os.File
	size   int64 // of the file
	next   int64 // of the stream: where the bytes to come begin
	hash   string
	place  string
}

// kept is a line of the journal.
type kept struct {
	At    time.Time `json:"at"`
	From  int64     `json:"from"` // of the stream: where its bytes begin
	Bytes []byte    `json:"bytes"`
	Place string    `json:"place,omitempty"`
	Prev  string    `json:"prev"`
	Hash  string    `json:"hash,omitempty"`
}

// fileMost is how large a file of the journal gets.
const fileMost = 4 << 20

// OpenJournal opens the journal in a folder, which is made, for whoever adds to it: one at a time. A line that was cut short when
// the machine failed is taken off the end; what was acknowledged is whole.
func OpenJournal(folder string) (*Journal, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, cannot("make", folder, err)
	}
	lock, err := os.OpenFile(filepath.Join(folder, lockName), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, cannot("open", folder, err)
	}
	j := &Journal{folder: folder, lock: lock}
	if err := locks.Take(lock, locks.Exclusive); errors.Is(err, locks.ErrHeld) {
		err := sootline.Errorf(sootline.Conflict, "end the other one first", "another program listens to this source already, and keeps what it hears in %s", folder)
		return nil, errors.Join(err, j.Close())
	}
	if err := j.open(); err != nil {
		return nil, errors.Join(err, j.Close())
	}
	return j, nil
}

// lockName is the file by which one program alone adds.
const lockName = "lock"

// open goes to the end of what was kept.
func (j *Journal) open() error {
	names, err := j.names()
	if err != nil || len(names) == 0 {
		return err
	}
	path := filepath.Join(j.folder, names[len(names)-1])
	whole, err := j.last(path)
	if err != nil {
		return err
	}
	j.file, err = os.OpenFile(path, os.O_RDWR|os.O_APPEND, 0o600)
	if err != nil {
		return cannot("open", path, err)
	}
	if err := j.file.Truncate(whole); err != nil {
		return cannot("mend", path, err)
	}
	j.size = whole
	return nil
}

// LookAt opens what was kept in a folder for reading alone, while another adds to it. A folder that is not there holds nothing.
func LookAt(folder string) (*Journal, error) {
	j := &Journal{folder: folder}
	names, err := j.names()
	if err != nil || len(names) == 0 {
		return j, err
	}
	_, err = j.last(filepath.Join(folder, names[len(names)-1]))
	return j, err
}

// Added reports whether a program adds to the journal of a folder now.
func Added(folder string) bool {
	lock, err := os.OpenFile(filepath.Join(folder, lockName), os.O_RDWR, 0o600)
	if err != nil {
		return false
	}
	defer lock.Close() // nothing was written
	return errors.Is(locks.Take(lock, locks.Shared), locks.ErrHeld)
}

func cannot(do, path string, err error) error {
	return sootline.Errorf(sootline.Unavailable, "look at its folder", "cannot %s %s: %w", do, path, err)
}

// last reads a file to its last whole line, and says where that ends.
func (j *Journal) last(path string) (int64, error) {
	var whole int64
	err := eachLine(path, func(k *kept, line []byte) error {
		whole += int64(len(line))
		j.next, j.hash, j.place = k.From+int64(len(k.Bytes)), k.Hash, k.Place
		return nil
	})
	if errors.Is(err, errCut) {
		err = nil
	}
	return whole, err
}

// names lists the files of the journal, the oldest first.
func (j *Journal) names() ([]string, error) {
	entries, err := os.ReadDir(j.folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, cannot("read", j.folder, err)
	}
	var names []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "heard-") && strings.HasSuffix(e.Name(), ".jsonl") {
			names = append(names, e.Name())
		}
	}
	slices.Sort(names)
	return names, nil
}

// Place is where the source stood behind what was kept last.
func (j *Journal) Place() string { return j.place }

// Next is where in the stream the bytes to come begin.
func (j *Journal) Next() int64 { return j.next }

// Add keeps what was heard; when it returns, it lies on the disk.
func (j *Journal) Add(h Heard) error {
	if j.file == nil || j.size > fileMost {
		if err := j.begin(); err != nil {
			return err
		}
	}
	k := kept{At: h.At.UTC(), From: j.next, Bytes: h.Bytes, Place: h.Place, Prev: j.hash}
	k.Hash = k.sum()
	line, err := json.Marshal(k)
	if err != nil {
		return err
	}
	line = append(line, '\n')
	if _, err := j.file.Write(line); err != nil {
		return cannot("write", j.file.Name(), err)
	}
	if err := j.file.Sync(); err != nil {
		return cannot("write", j.file.Name(), err)
	}
	j.size += int64(len(line))
	j.next, j.hash, j.place = j.next+int64(len(h.Bytes)), k.Hash, k.Place
	return nil
}

// sum is the hash of a line and all before it: the first 128 bits of SHA-256, as the log's chain has them.
func (k kept) sum() string {
	k.Hash = ""
	text, err := json.Marshal(k)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(text)
	return base64.RawURLEncoding.EncodeToString(sum[:16])
}

func (j *Journal) begin() error {
	if err := j.closeFile(); err != nil {
		return err
	}
	path := filepath.Join(j.folder, fmt.Sprintf("heard-%016d.jsonl", j.next))
	file, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o600)
	if err != nil {
		return cannot("make", path, err)
	}
	j.file, j.size = file, 0
	return nil
}

// Close ends it: another may add.
func (j *Journal) Close() error {
	err := j.closeFile()
	if j.lock != nil {
		err = errors.Join(err, j.lock.Close())
		j.lock = nil
	}
	return err
}

func (j *Journal) closeFile() error {
	if j.file == nil {
		return nil
	}
	err := j.file.Close()
	j.file = nil
	return err
}

// errCut says that the last line of a file is not whole.
var errCut = errors.New("the last line is not whole")

func eachLine(path string, do func(k *kept, line []byte) error) (err error) {
	file, err := os.Open(path)
	if err != nil {
		return cannot("read", path, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	in := bufio.NewReaderSize(file, 64<<10)
	for {
		line, err := in.ReadBytes('\n')
		if err == io.EOF {
			if len(line) > 0 {
				return errCut
			}
			return nil
		}
		if err != nil {
			return cannot("read", path, err)
		}
		var k kept
		if err := json.Unmarshal(bytes.TrimSpace(line), &k); err != nil {
			return sootline.Errorf(sootline.Invalid, "put the folder back from a backup, or set it aside", "%s holds a line that is none: %w", path, err)
		}
		if err := do(&k, line); err != nil {
			return err
		}
	}
}

// Each gives what was kept from a place of the stream on, with that place, and says where the chain of hashes is broken.
func (j *Journal) Each(from int64, do func(at int64, h Heard) error) error {
	names, err := j.names()
	if err != nil {
		return err
	}
	prev, first := "", true
	for i, name := range names {
		if i+1 < len(names) && names[i+1] <= fmt.Sprintf("heard-%016d.jsonl", from) {
			continue
		}
		err := eachLine(filepath.Join(j.folder, name), func(k *kept, _ []byte) error {
			if k.sum() != k.Hash || !first && k.Prev != prev {
				return sootline.Errorf(sootline.Invalid, "what was heard from there on is not relied on", "what was heard was altered in %s, at byte %d", name, k.From)
			}
			prev, first = k.Hash, false
			if k.From+int64(len(k.Bytes)) <= from {
				return nil
			}
			return do(k.From, Heard{At: k.At, Bytes: k.Bytes, Place: k.Place})
		})
		if err != nil && !errors.Is(err, errCut) {
			return err
		}
	}
	return nil
}

// filesMost is how many files of the journal are kept at most: 256 MB, however much a source says.
const filesMost = 64

// Trim removes files that hold nothing younger than an instant, and the oldest of too many; the newest file stays.
func (j *Journal) Trim(before time.Time) error {
	names, err := j.names()
	if err != nil {
		return err
	}
	for i := 0; i+1 < len(names); i++ {
		path := filepath.Join(j.folder, names[i])
		info, err := os.Stat(path)
		if err != nil {
			return cannot("read", path, err)
		}
		if !info.ModTime().Before(before) && len(names)-i <= filesMost {
			return nil
		}
		if err := os.Remove(path); err != nil {
			return cannot("remove", path, err)
		}
	}
	return nil
}
