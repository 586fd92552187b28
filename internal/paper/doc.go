// Package paper puts a document on paper: a title, cautions, paragraphs, fields,
// tables, pictures and lines to sign, written as PDF, XLSX, CSV or HTML. It knows
// nothing of fire detection; whoever fills a [Document] says what is in it.
//
// What it writes depends on the document alone: the same document gives the same
// bytes. Nothing here writes tags into a PDF, so that the form for those who
// listen is the HTML.
package paper
