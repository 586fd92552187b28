package app

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/store"
)

// An archive is a zip with the lines of an export in one file, and each photo that they name in another, under its hash.
const (
	archiveLines  = "entries.jsonl"
	archivePhotos = "photos/"
	archiveEnding = ".jpg"
)

// mostArchiveLines is how large the lines of an archive may be once they are unpacked, in bytes: some million entries.
const mostArchiveLines = 1 << 30

// Archived says what an archive holds.
type Archived struct {
	Lines, Photos int
	Missing       []string // photos that entries name and the book does not hold, by their hashes
}

// ExportArchive writes a site's log with its photos as one archive, docs/formats/log.md. The same log gives the same bytes.
func (a *App) ExportArchive(ctx context.Context, site sootline.ID, w io.Writer) (out Archived, err error) {
	photos, err := a.Photographs(ctx, site)
	if err != nil {
		return out, err
	}
	archive := zip.NewWriter(w)
	lines, err := archive.Create(archiveLines)
	if err == nil {
		out.Lines, err = a.Export(ctx, site, lines)
	}
	if err != nil {
		return out, err
	}
	for _, hash := range hashesOf(photos) {
		content, err := a.Book.Photo(ctx, hash)
		if err != nil {
			return out, err
		}
		if content == nil {
			out.Missing = append(out.Missing, hash)
			continue
		}
		file, err := archive.CreateHeader(&zip.FileHeader{Name: archivePhotos + hash + archiveEnding, Method: zip.Store}) // a JPEG is packed already
		if err == nil {
			_, err = file.Write(content)
		}
		if err != nil {
			return out, cannotExport(err)
		}
		out.Photos++
	}
	if err := archive.Close(); err != nil {
		return out, cannotExport(err)
	}
	return out, nil
}

// Photograph is a photo as an entry names it.
type Photograph struct {
	Hash  string
	Entry *sootline.Entry
	Ref   string // of the point; empty: it is at none, or at one that the register does not have
	There bool   // the book holds it
}

// Photographs lists the photos that entries of a site name, as they were taken.
func (a *App) Photographs(ctx context.Context, site sootline.ID) ([]Photograph, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	r := log.Fold(a.Now())
	var all []Photograph
	for _, e := range log.Entries() {
		hash := photoNamed(e)
		if hash == "" {
			continue
		}
		photo := Photograph{Hash: hash, Entry: e}
		if p := r.Point(e.Point); p != nil {
			photo.Ref = p.Ref().String()
		}
		content, err := a.Book.Photo(ctx, hash)
		if err != nil {
			return nil, err
		}
		photo.There = content != nil
		all = append(all, photo)
	}
	return all, nil
}

func hashesOf(photos []Photograph) []string {
	var all []string
	for _, photo := range photos {
		all = append(all, photo.Hash)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// photoFiles are the photos of an archive; nil: there are none.
type photoFiles []*zip.File

// unpacked tells an archive from plain lines, and gives its photos and its lines.
func unpacked(from io.Reader) (photoFiles, io.Reader, error) {
	file, ok := from.(interface {
		io.ReaderAt
		io.ReadSeeker
	})
	begins := make([]byte, 4)
	if !ok {
		return nil, from, nil
	}
	if _, err := file.ReadAt(begins, 0); err != nil || !bytes.Equal(begins, []byte("PK\x03\x04")) { // ZIP 6.3.9, 4.3.7
		return nil, from, nil // what is wrong with it is found where it is read
	}
	size, err := file.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, nil, sootline.Errorf(sootline.Unavailable, "", "read the archive: %w", err)
	}
	archive, err := zip.NewReader(file, size)
	if err != nil {
		return nil, nil, badArchive("it cannot be read: %w", err)
	}
	return parts(archive)
}

// parts takes an archive apart: one file of lines, and photos under their hashes, nothing else.
func parts(archive *zip.Reader) (photos photoFiles, lines io.Reader, err error) {
	for _, f := range archive.File {
		hash, isPhoto := strings.CutPrefix(f.Name, archivePhotos)
		switch {
		case f.Name == archiveLines && lines == nil && f.UncompressedSize64 <= mostArchiveLines:
			unpacked, err := f.Open()
			if err != nil {
				return nil, nil, badArchive("its lines cannot be read: %w", err)
			}
			lines = io.LimitReader(unpacked, mostArchiveLines)
		case isPhoto && sootline.PhotoName(strings.TrimSuffix(hash, archiveEnding)):
			photos = append(photos, f)
		default:
			return nil, nil, badArchive("it holds %q, which is no part of one", f.Name)
		}
	}
	if lines == nil {
		return nil, nil, badArchive("it does not hold %s", archiveLines)
	}
	return photos, lines, nil
}

func badArchive(text string, args ...any) error {
	return sootline.Errorf(sootline.Invalid, notAnExport, "the archive is not taken, and nothing was imported: "+text, args...).Do(sootline.ExportLog)
}

// check reports a photo that no line names, or that is not what its name says.
func (files photoFiles) check(x *export) error {
	if len(files) == 0 {
		return nil
	}
	named := map[string]bool{}
	for i := range x.lines {
		named[photoNamed(&x.lines[i].Entry)] = true
	}
	for _, f := range files {
		hash, content, err := readPhoto(f)
		switch {
		case err != nil:
			return err
		case !named[hash]:
			return badArchive("no entry of it names the photo %s", hash)
		case store.PhotoHash(content) != hash:
			return sootline.Errorf(sootline.Damaged, freshExport, "the photo %s is not what its name says", hash)
		}
		if err := checkPhoto(content); err != nil {
			return badArchive("the photo %s: %w", hash, err)
		}
	}
	return nil
}

// readPhoto unpacks one; more than a photo may have is not unpacked.
func readPhoto(f *zip.File) (hash string, content []byte, err error) {
	hash = strings.TrimSuffix(strings.TrimPrefix(f.Name, archivePhotos), archiveEnding)
	unpacked, err := f.Open()
	if err == nil {
		content, err = io.ReadAll(io.LimitReader(unpacked, MostPhoto+1))
	}
	if err != nil {
		return hash, nil, badArchive("the photo %s cannot be read: %w", hash, err)
	}
	return hash, content, nil
}

// put keeps the photos, one after another, and counts them.
func (files photoFiles) put(tx *store.Tx) (int, error) {
	for _, f := range files {
		hash, content, err := readPhoto(f)
		if err == nil {
			err = tx.PutPhoto(hash, content)
		}
		if err != nil {
			return 0, err
		}
	}
	return len(files), nil
}

// PhotoWide is how many dots a photo is wide or high at most that is made smaller to be kept.
const PhotoWide = 1600

// AddPhoto keeps a picture and writes that it was taken at a point: a JPEG or PNG, made smaller where it is larger than
// a photo may be. A point that is named "" is the site.
func (a *App) AddPhoto(ctx context.Context, site sootline.ID, n Note, content []byte) (sootline.Entry, error) {
	if err := a.Who.MaySee(site); err != nil {
		return sootline.Entry{}, err
	}
	if checkPhoto(content) != nil {
		small, err := Upright(content, PhotoWide)
		if err != nil {
			return sootline.Entry{}, err
		}
		content = small
	}
	hash, err := a.KeepPhoto(ctx, site, content)
	if err != nil {
		return sootline.Entry{}, err
	}
	note, _ := n.Body.(sootline.Note)
	note.Photo = hash
	n.Body = note
	return a.AddEntry(ctx, site, n)
}
