package shape

import "sootline"

// IssuedPapers lists papers that were issued, the last one first.
type IssuedPapers struct {
	Papers []IssuedPaper `json:"papers"`
}

// IssuedPaper is a paper that was issued.
type IssuedPaper struct {
	Entry   string `json:"entry" doc:"Id of the entry that says so"`
	Paper   string `json:"paper"`
	Day     string `json:"day" doc:"The day it speaks of"`
	Code    string `json:"code" doc:"By which it is held against the book"`
	Content string `json:"content" doc:"SHA-256 of the file"`
	By      string `json:"by"`
	Issued  string `json:"issued"`
}

// OfIssued shapes entries that say that papers were issued.
func OfIssued(entries []*sootline.Entry) IssuedPapers {
	shape := IssuedPapers{Papers: []IssuedPaper{}}
	for _, e := range entries {
		shape.Papers = append(shape.Papers, OfIssuedPaper(e))
	}
	return shape
}

// OfIssuedPaper shapes one of them.
func OfIssuedPaper(e *sootline.Entry) IssuedPaper {
	said, _ := e.Body.(sootline.Issued)
	return IssuedPaper{e.ID.String(), said.Paper, said.Day, said.Code, said.Content, e.By, instant(e.Noted)}
}

// NewlyIssued is a paper that was just issued, with its file.
type NewlyIssued struct {
	IssuedPaper
	Title string `json:"title"`
	File  []byte `json:"file"`
}

// PaperVerdict is what the book says of a paper's code, and of its file.
type PaperVerdict struct {
	Issued  []IssuedPaper `json:"issued" doc:"Where it was issued; none: it is a draft, or older than issued papers"`
	Draft   string        `json:"draft,omitempty" doc:"Of a draft: the last entry that it rests on"`
	Same    *bool         `json:"same" doc:"Whether the file is one that was issued under the code, to the last byte; null: no file was given"`
	Broken  string        `json:"broken,omitempty" doc:"What was altered in the book that it rests on"`
	Lines   int           `json:"lines" doc:"Lines of the log that it rests on"`
	Since   int           `json:"since" doc:"Entries noted since"`
	Changed int           `json:"changed" doc:"Of these, how many speak of its time: its record has changed"`
}
