// Package shape holds the JSON of answers, as docs/formats/json.md describes it,
// for the command line and the API alike. The shapes are kept apart from the
// program's own types, so that those can change.
package shape
