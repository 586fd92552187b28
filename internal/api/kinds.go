package api

import (
	"github.com/danielgtaylor/huma/v2"

	"sootline"
)

// EntryKind is a kind of entry that is added by itself.
type EntryKind string

// Schema lists the kinds from the table: all but amendments, which have
// operations of their own, and those that the program alone writes.
func (EntryKind) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, kind := range sootline.Kinds() {
		if !kind.ByProgram && len(sootline.FieldsOf(kind.Kind)) > 0 {
			s.Enum = append(s.Enum, string(kind.Kind))
		}
	}
	return s
}
