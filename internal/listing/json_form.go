package listing

import (
	"encoding/json"
	"errors"
	"io"
)

// form finds how the rows of a document stand, and the names of its lists where an object has some.
func (r *jsonReader) form() (jsonForm, []string, error) {
	token, err := r.d.Token()
	if err != nil {
		return 0, nil, err
	}
	switch token {
	case json.Delim('['):
		return r.formOfList()
	case json.Delim('{'):
		keys, err := r.lists()
		if err != nil {
			return 0, nil, err
		}
		if len(keys) > 0 && !r.d.More() {
			return jsonNamed, keys, r.atEnd()
		}
	}
	return jsonLines, nil, nil
}

// formOfList: a list of rows, or the first of several rows that are lists.
func (r *jsonReader) formOfList() (jsonForm, []string, error) {
	form := jsonList // also where it is empty
	for r.d.More() {
		raw, err := r.value()
		if err != nil {
			return 0, nil, err
		}
		if raw[0] == '{' || raw[0] == '[' {
			return jsonList, nil, nil
		}
		form = jsonLines
	}
	return form, nil, nil
}

// lists names the members of an object that are lists of rows; it reads the object to its end.
func (r *jsonReader) lists() ([]string, error) {
	var keys []string
	for r.d.More() {
		token, err := r.d.Token()
		if err != nil {
			return nil, err
		}
		key, _ := token.(string)
		r.bound.read = 0
		rows, plain, err := r.skip()
		if err != nil {
			return nil, err
		}
		r.note(key, plain)
		if rows {
			keys = append(keys, key)
		}
		if len(keys) > r.limits.MaxSheets {
			return keys, nil
		}
	}
	_, err := r.d.Token()
	return keys, err
}

// note keeps a plain member beside the lists: "date": "2026-11-13" is said of them all, as a title says it.
func (r *jsonReader) note(key, plain string) {
	const most, longest = 20, 80
	if plain != "" && len(r.beside) < most && len(key)+len(plain) < longest {
		r.beside = append(r.beside, plainText(key)+" "+plainText(plain))
	}
}

// skip passes over a value, and tells whether it is a list of rows; plain is a text or a number.
func (r *jsonReader) skip() (rows bool, plain string, err error) {
	depth, list := 0, false
	for first := true; ; first = false {
		token, err := r.d.Token()
		if err != nil {
			return false, "", err
		}
		r.bound.read = 0
		switch token {
		case json.Delim('['), json.Delim('{'):
			if depth++; depth > mostDepth {
				return false, "", &FileError{File: r.file, Trouble: "its lists and objects lie too deep in each other", Hint: "a row is a list of cells, or an object with the headings as names"}
			}
			list = list || first && token == json.Delim('[')
			rows = rows || list && depth == 2
		case json.Delim(']'), json.Delim('}'):
			depth--
		}
		if depth == 0 {
			return rows, scalarText(token), nil
		}
	}
}

// endOfList passes the end of a list of rows; more tells whether another list of rows follows, as where two documents
// were written one behind the other.
func (r *jsonReader) endOfList(form jsonForm) (more bool, err error) {
	if _, err := r.d.Token(); err != nil || form != jsonList {
		return false, err
	}
	r.bound.read = 0
	if !r.d.More() {
		return false, r.atEnd()
	}
	token, err := r.d.Token()
	if err == nil && token != json.Delim('[') {
		err = errMoreBehind
	}
	return err == nil, err
}

// errMoreBehind: what stands behind a document would be lost.
var errMoreBehind = errors.New("something stands behind the end of its rows")

// atEnd fails where something stands behind a document.
func (r *jsonReader) atEnd() error {
	if _, err := r.d.Token(); err != io.EOF {
		return errMoreBehind
	}
	return nil
}

// enter goes to the first row; inside tells whether it stands in a list, which ends it.
func (r *jsonReader) enter(form jsonForm, key string) (inside bool, err error) {
	switch form {
	case jsonLines:
		return false, nil
	case jsonList:
		_, err := r.d.Token()
		return true, err
	}
	if _, err := r.d.Token(); err != nil {
		return true, err
	}
	for r.d.More() {
		token, err := r.d.Token()
		if err != nil {
			return true, err
		}
		if token == key {
			_, err := r.d.Token()
			return true, err
		}
		if _, _, err := r.skip(); err != nil {
			return true, err
		}
	}
	return true, io.ErrUnexpectedEOF
}
