package web

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"sootline"
)

// What may be handed in at once, and how long it may take to arrive. A listing of
// a million readings has some 50 MB.
const (
	mostUpload = 256 << 20
	mostFiles  = 20
	mostFields = 20
	uploadTime = 15 * time.Minute
)

// intakes are the uploads that were not accepted or dropped yet.
type intakes struct {
	folder string

	mu   sync.Mutex
	kept []*intake
}

func (s *intakes) of(site, id string) *intake {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, in := range s.kept {
		if in.id == id && in.site.String() == site {
			return in
		}
	}
	return nil
}

// at lists the intakes of a site, the latest first.
func (s *intakes) at(site sootline.ID) []*intake {
	s.mu.Lock()
	defer s.mu.Unlock()
	found := slices.DeleteFunc(slices.Clone(s.kept), func(in *intake) bool { return in.site != site })
	slices.SortFunc(found, func(a, b *intake) int { return cmp.Or(b.began.Compare(a.began), cmp.Compare(b.id, a.id)) })
	return found
}

// quota is how many intakes may lie there.
var quota = struct{ person, site int }{5, 20}

// put keeps an intake whose files lie in a folder, unless one of its id is kept
// already: a form that was handed in twice. Where its person has too many, the
// oldest of theirs at which nobody works is given up; another's never is.
func (s *intakes) put(in *intake, folder string) (*intake, error) {
	kept, oldest, err := s.place(in, folder)
	if oldest != nil {
		err = errors.Join(err, oldest.remove())
	}
	if kept != in {
		err = errors.Join(err, os.RemoveAll(folder))
	}
	return kept, err
}

// place keeps the intake, or gives the one of its id; and the one that is not kept
// any more.
func (s *intakes) place(in *intake, folder string) (kept, oldest *intake, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, other := range s.kept {
		if other.id == in.id {
			return other, nil, nil
		}
	}
	if oldest, err = s.room(in); err != nil {
		return nil, nil, err
	}
	in.folder = filepath.Join(s.folder, in.id)
	if err := os.Rename(folder, in.folder); err != nil {
		return nil, nil, err
	}
	s.kept = append(s.kept, in)
	if oldest != nil {
		s.kept = slices.DeleteFunc(s.kept, func(other *intake) bool { return other == oldest })
		if oldest.stage() != taken {
			in.gaveUp = sootline.Joined(oldest.names...)
		}
	}
	return in, oldest, nil
}

// room looks whether there is room for an intake, and which one of the same person
// is to be given up for it, or nil. Those that are in the book already go first.
func (s *intakes) room(in *intake) (*intake, error) {
	var own, here []*intake
	for _, other := range s.kept {
		if other.site == in.site {
			here = append(here, other)
		}
		if other.by == in.by {
			own = append(own, other)
		}
	}
	full, owns := len(own) >= quota.person, fmt.Sprintf("%d intakes of yours are being worked on", len(own))
	if len(here) >= quota.site {
		own = slices.DeleteFunc(own, func(other *intake) bool { return other.site != in.site })
		full, owns = true, fmt.Sprintf("%d intakes are waiting at this site, and none of them is yours to give up", len(here))
	}
	if !full {
		return nil, nil
	}
	for _, wanted := range [][]stage{{taken}, {waiting, ready}} {
		for _, other := range own { // the oldest first
			if slices.Contains(wanted, other.stage()) {
				return other, nil
			}
		}
	}
	return nil, sootline.Errorf(sootline.Conflict, "wait until one is done, or have one accepted or dropped", "%s", owns)
}

// drop forgets an intake and its files.
func (s *intakes) drop(in *intake) error {
	s.mu.Lock()
	s.kept = slices.DeleteFunc(s.kept, func(other *intake) bool { return other == in })
	s.mu.Unlock()
	return in.remove()
}

// remove ends what is being done, and removes the files.
func (in *intake) remove() error { return errors.Join(in.close(), os.RemoveAll(in.folder)) }

// upload is a form with files that were put into a folder.
type upload struct {
	fields map[string]string
	folder string
	names  []string
}

// receive streams a form with files into a new folder, without holding them in
// memory.
func (s *Server) receive(w http.ResponseWriter, r *http.Request) (*upload, error) {
	if err := allowTime(w); err != nil {
		return nil, err
	}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, unreadable(err)
	}
	folder, err := os.MkdirTemp(s.Uploads, ".arriving-*")
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "see that the server's folder for uploads can be written", "the files could not be kept: %w", err)
	}
	up := &upload{fields: map[string]string{}, folder: folder}
	if err := up.read(parts); err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	return up, nil
}

// allowTime gives an upload the time that it may take, which is more than any
// other request gets.
func allowTime(w http.ResponseWriter) error {
	control, until := http.NewResponseController(w), time.Now().Add(uploadTime)
	for _, set := range []func(time.Time) error{control.SetReadDeadline, control.SetWriteDeadline} {
		if err := set(until); err != nil && !errors.Is(err, http.ErrNotSupported) {
			return err
		}
	}
	return nil
}

func (up *upload) read(parts *multipart.Reader) error {
	for {
		part, err := parts.NextPart()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return unreadable(err)
		}
		if part.FileName() == "" {
			err = up.field(part)
		} else {
			err = up.file(part)
		}
		if err != nil {
			return err
		}
	}
}

func (up *upload) field(part *multipart.Part) error {
	if part.FormName() == "file" { // a field for files that was left empty
		return nil
	}
	value, err := io.ReadAll(io.LimitReader(part, mostForm+1))
	switch {
	case err != nil:
		return unreadable(err)
	case len(value) > mostForm || len(up.fields) >= mostFields:
		return sootline.Errorf(sootline.Invalid, "hand the list in as a file", "the form holds more than is typed by hand: at most %d kB a field, and %d fields", mostForm>>10, mostFields)
	}
	up.fields[part.FormName()] = string(value)
	return nil
}

func (up *upload) file(part *multipart.Part) error {
	if len(up.names) >= mostFiles {
		return sootline.Errorf(sootline.Invalid, "hand in the rest after them", "at most %d files are taken at once", mostFiles)
	}
	name := up.free(plainName(part.FileName()))
	f, err := os.OpenFile(filepath.Join(up.folder, name), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "%s could not be kept: %w", name, err)
	}
	_, err = io.Copy(f, part)
	if closing := f.Close(); err == nil && closing != nil {
		err = sootline.Errorf(sootline.Unavailable, "", "%s could not be kept: %w", name, closing)
	}
	if err != nil {
		return unreadable(err)
	}
	up.names = append(up.names, name)
	return nil
}

// free gives a name that no file before has.
func (up *upload) free(name string) string {
	taken := func(name string) bool {
		return slices.ContainsFunc(up.names, func(other string) bool { return strings.EqualFold(other, name) })
	}
	ext := filepath.Ext(name)
	for n, stem := 2, strings.TrimSuffix(name, ext); taken(name); n++ {
		name = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
	return name
}

// plainName makes a name for a file of ours from the one that a browser gave:
// never a path, never hidden, never overlong.
func plainName(given string) string {
	given = given[strings.LastIndexAny(given, `/\`)+1:]
	name := strings.Map(func(c rune) rune {
		if unicode.IsControl(c) || c == unicode.ReplacementChar || strings.ContainsRune(`:*?"<>|`, c) {
			return '-'
		}
		return c
	}, strings.ToValidUTF8(given, "-"))
	name = strings.TrimLeft(strings.TrimSpace(name), ".")
	ext := filepath.Ext(name)
	if len(ext) > 12 {
		ext = ""
	}
	stem := strings.TrimSuffix(name, ext)
	for len(stem) > 80 {
		stem = strings.ToValidUTF8(stem[:80], "")
	}
	return cmp.Or(stem, "listing") + ext
}
