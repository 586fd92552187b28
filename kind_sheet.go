package sootline

// SheetKind is the kind of [Sheet].
const SheetKind Kind = "sheet"

// Sheet states a type sheet. It holds from the instant of its entry; a later
// sheet of the same type replaces it whole.
type Sheet struct {
	TypeSheet
}

// Kind is SheetKind.
func (Sheet) Kind() Kind { return SheetKind }

func (s Sheet) say() string {
	return Joined("type sheet "+s.Name, string(s.TypeSheet.Kind), rest(s, "name", "device"))
}

func (s Sheet) check() error { return s.TypeSheet.Check() }

func (s Sheet) fold(r *Register, _ *Entry) {
	sheet := s.TypeSheet
	r.types[TypeKey(s.Name)] = &sheet
}

func (s Sheet) facts() []FactSaid { return oneFact("the type sheet "+TypeKey(s.Name), s) }
