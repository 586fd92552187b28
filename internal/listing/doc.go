// Package listing turns a listing of any shape into typed rows, and says what it understood of it.
//
// A listing is what people hand in: CSV with any separator, aligned text, a workbook, a web page, JSON, or
// an archive of such (bytes.go tells them apart); in any of the usual encodings; with titles above, totals
// below, headings repeated on every page, or no heading at all. [Open] finds the encoding and the layout,
// [Understand] reads a table once and decides what it lists and what each column holds, and
// [Understanding.Records] yields one typed row after the other.
//
// Nothing is guessed in silence: every column carries its reason, what cannot be decided becomes a
// [Question], and a row that cannot be read becomes a [RowError] that names the cell and the way out.
// Memory does not grow with the number of rows; [Left] writes the rows that were refused so that they
// can be mended and taken again.
//
// The package knows no clock, no store and no network. docs/formats/listings.md is its user's page.
package listing
