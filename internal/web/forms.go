package web

import (
	"regexp"

	"sootline"
)

// forms finds every form that writes; HTML lets none stand in another.
var forms = regexp.MustCompile(`(?s)<form method="post" action="([^"]*)".*?</form>`)

// ofAnybody are the addresses of forms that write nothing into the book, or only what
// is one's own.
var ofAnybody = regexp.MustCompile(`^/(look|seen|sign-in|sign-out|account|pair)$`)

// ofPhone are those of a phone by its key.
var ofPhone = regexp.MustCompile(`^/site/[^/]+/visit(/close)?$`)

// withoutForms takes out of a page the forms that whoever looks at it would be
// refused: a reader writes nothing, and a phone by its key no more than its visit.
// It is done here for all pages, those to come too; what refuses is [app.App].
func withoutForms(page []byte, v visitor) []byte {
	if v.Role.May(sootline.Technician) && !v.byKey || v.Role == sootline.Stranger {
		return page
	}
	return forms.ReplaceAllFunc(page, func(form []byte) []byte {
		action := forms.FindSubmatch(form)[1]
		if ofAnybody.Match(action) || v.byKey && v.Role.May(sootline.Technician) && ofPhone.Match(action) {
			return form
		}
		return nil
	})
}
