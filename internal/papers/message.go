package papers

import (
	"context"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// MessageKind is the name of the report as plain text to send on.
const MessageKind = "message"

// messageItems is how many items of a subject stand in a message, so that it is about one screen.
const messageItems = 3

// Message is page one of the visit report as plain text of about one screen, to send on.
func Message(ctx context.Context, a *app.App, site sootline.ID, wish Wish) (string, error) {
	wish.Kind = "visit"
	p, d, err := drafted(ctx, a, site, wish)
	if err != nil {
		return "", err
	}
	l := p.letter()
	var b strings.Builder
	b.WriteString(sootline.Joined(d.Site, "visit report") + "\n" + d.AsOf + "\n")
	if from := sootline.Joined(firmName(p), firmPhone(p)); from != "" {
		b.WriteString("From " + from + "\n")
	}
	l.Subjects = slices.DeleteFunc(l.Subjects, func(s paper.Subject) bool { return s.Title == confirmedTitle })
	b.WriteString(l.Text(messageItems))
	b.WriteString("\nThe report with its annexes says the rest. " + d.RestsOn + ".\n")
	return b.String(), nil
}
