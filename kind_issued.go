package sootline

// IssuedKind is the kind of [Issued].
const IssuedKind Kind = "issued"

// Issued says that a paper was issued: which, its code, the hash of its content,
// and the heads of all stations that it rests on, which it witnesses.
type Issued struct {
	Paper   string `json:"paper" form:"which paper"`
	Day     string `json:"day" form:"the day it speaks of" input:"day"`
	Code    string `json:"code" form:"the code on it"`
	Content string `json:"content" form:"SHA-256 of its content"`
	Heads   []Head `json:"heads,omitempty" form:"heads"`
}

// Kind is IssuedKind.
func (Issued) Kind() Kind { return IssuedKind }

func (x Issued) say() string {
	return Joined("paper issued: "+x.Paper, "of "+x.Day, "code "+x.Code, countSaid(len(x.Heads), "head witnessed", "heads witnessed"))
}

func (x Issued) check() error {
	if x.Paper == "" || x.Code == "" || !PhotoName(x.Content) {
		return Errorf(Invalid, "", "an issued paper has its name, its code and the SHA-256 of its content")
	}
	return nil
}

// Pins gives the heads that the paper witnesses.
func (x Issued) Pins() []Head { return x.Heads }

func (x Issued) fold(r *Register, e *Entry) { r.Issued = append(r.Issued, e) }
