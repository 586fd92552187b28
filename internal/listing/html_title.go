package listing

import (
	"strings"

	"golang.org/x/net/html"
)

// pageTitle gathers the heading that stands above a table.
type pageTitle struct {
	text   strings.Builder
	inside bool
}

// begins takes a token in, and reports whether it begins a table.
func (p *pageTitle) begins(z *html.Tokenizer, kind html.TokenType) bool {
	const longest = 200
	switch kind {
	case html.TextToken:
		if p.inside && p.text.Len() < longest {
			p.text.Write(z.Text())
		}
		return false
	case html.StartTagToken, html.EndTagToken:
	default:
		return false
	}
	tag, _ := z.TagName()
	switch string(tag) {
	case "h1", "h2", "h3", "h4", "h5", "h6":
		if p.inside = kind == html.StartTagToken; p.inside {
			p.text.Reset()
		}
	case "table":
		return kind == html.StartTagToken
	}
	return false
}

// take gives the heading, once: it is of the table below it.
func (p *pageTitle) take() string {
	defer p.text.Reset()
	return strings.TrimSpace(p.text.String())
}
