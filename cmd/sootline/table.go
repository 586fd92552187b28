package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"charm.land/lipgloss/v2"
	"charm.land/lipgloss/v2/table"
	"github.com/spf13/cobra"

	"sootline"
)

// printTable prints rows in columns, wrapped to the terminal. What would steer a
// terminal is made plain before the columns are measured, and cut.
func printTable(w io.Writer, head []string, rows [][]string) error {
	plain := make([][]string, len(rows))
	for i, row := range rows {
		for _, cell := range row {
			plain[i] = append(plain[i], sootline.Shown(cell))
		}
	}
	t := table.New().
		Border(lipgloss.NormalBorder()).
		BorderTop(false).BorderBottom(false).BorderLeft(false).BorderRight(false).BorderColumn(false).
		Wrap(true).
		Headers(head...).Rows(plain...).
		StyleFunc(func(int, int) lipgloss.Style { return lipgloss.NewStyle().PaddingRight(2) })
	if most := columnsOf(w); lipgloss.Width(t.Render()) > most {
		t.Width(most)
	}
	_, err := lipgloss.Fprintln(w, trimRight(t.Render()))
	return err
}

// heading prints an empty line, and a line in bold on a terminal, and plainly elsewhere. Colours are
// not used: red and yellow belong to fire and fault on fire panels (EN 54-2, from
// memory), and nothing here is either.
func (s *session) heading(text string) { s.headings(text) }

// headings is heading for one of several lines.
func (s *session) headings(text string) {
	fmt.Fprintln(s.out)
	for line := range strings.SplitSeq(text, "\n") {
		s.bold(line)
	}
}

func (s *session) bold(text string) {
	shown := sootline.Shown(text)
	if os.Getenv("NO_COLOR") == "" { // no-color.org asks for no colours; nor do we put anything else around text then
		shown = lipgloss.NewStyle().Bold(true).Render(shown)
	}
	lipgloss.Fprintln(behind(s.out), shown) //nolint:errcheck // as for every line of a report
}

func trimRight(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return strings.Join(lines, "\n")
}

// addJSON adds the flag of a command that shows something: it can be had as JSON.
func addJSON(cmd *cobra.Command, asJSON *bool) {
	cmd.Flags().BoolVar(asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
}

// printJSON prints a value for programs. What would steer a terminal stands in it
// escaped, which says the same to whoever reads JSON.
func printJSON(w io.Writer, v any) error {
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := io.WriteString(exact(w), escaped(text.String()))
	return err
}

// escaped writes what steers a terminal as JSON escapes it (RFC 8259, section 7). It
// stands in strings alone: nothing else in JSON does that.
func escaped(text string) string {
	if strings.IndexFunc(text, sootline.Steers) < 0 {
		return text
	}
	var b strings.Builder
	for _, c := range text {
		if sootline.Steers(c) {
			fmt.Fprintf(&b, `\u%04x`, c)
		} else {
			b.WriteRune(c)
		}
	}
	return b.String()
}

// printCSV prints rows for spreadsheets, which have no escapes: into a file or a pipe
// every character goes as it is. A cell that a spreadsheet would run as a formula gets
// an apostrophe in front.
func printCSV(w io.Writer, head []string, rows [][]string) error {
	out := csv.NewWriter(exact(w))
	if err := out.Write(head); err != nil {
		return err
	}
	for _, row := range rows {
		guarded := make([]string, len(row))
		for i, cell := range row {
			guarded[i] = guard(cell)
		}
		if err := out.Write(guarded); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func guard(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	var number float64
	if _, err := fmt.Sscan(cell, &number); err == nil && strings.Trim(cell[1:], "0123456789.") == "" {
		return cell
	}
	return "'" + cell
}

// count tells how many there are, with the word for one or for several.
func count(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}
