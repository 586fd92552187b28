package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/listing"
)

// fromInput is how standard input is named, and what it is called.
const (
	fromInput   = "-"
	calledInput = "standard-input"
)

// mostInput is how much of standard input is taken for a listing.
const mostInput = 1 << 30

// handed gives the listings that were named. What comes on standard input is kept
// in a file until remove is called.
func (s *session) handed(paths []string) (all []app.Handed, remove func() error, err error) {
	remove = func() error { return nil }
	defer func() {
		if err != nil {
			err = errors.Join(err, remove())
		}
	}()
	for _, path := range paths {
		if path != fromInput {
			all = append(all, app.Handed{Name: path, File: path})
			continue
		}
		if slices.ContainsFunc(all, func(h app.Handed) bool { return h.Name == calledInput }) {
			return nil, remove, sootline.Errorf(sootline.Invalid, "", "standard input can be named once")
		}
		folder, err := os.MkdirTemp("", "sootline-input-")
		if err != nil {
			return nil, remove, sootline.Errorf(sootline.Unavailable, "", "keep standard input: %w", err)
		}
		remove = func() error { return os.RemoveAll(folder) }
		file := filepath.Join(folder, calledInput)
		if err := keepInput(file, s.in); err != nil {
			return nil, remove, err
		}
		all = append(all, app.Handed{Name: calledInput, File: file})
	}
	return all, remove, nil
}

// keepInput writes what comes to its end.
func keepInput(path string, in io.Reader) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "keep standard input: %w", err)
	}
	n, err := io.Copy(f, io.LimitReader(in, mostInput+1))
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "read standard input: %w", err)
	}
	if n > mostInput {
		return sootline.Errorf(sootline.Invalid, "keep it in a file, and name that", "standard input holds more than %d MB", mostInput>>20)
	}
	return nil
}

// withHidden has every profile take hidden parts, also where there is none.
func withHidden(profiles []listing.Profile) []listing.Profile {
	out := []listing.Profile{}
	for _, p := range profiles {
		p.Hidden = true
		out = append(out, p)
	}
	if len(out) == 0 {
		out = append(out, listing.Profile{Hidden: true})
	}
	return out
}
