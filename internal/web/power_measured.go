package web

import (
	"sootline"
	"sootline/internal/app"
)

// measureForm is the form that writes down what was measured of a loop: the one by which the log
// takes any entry, with the loop filled in.
func (s *Server) measureForm(survey *app.Survey, id sootline.LoopID) (*entryForm, error) {
	form := s.newEntryForm(string(sootline.MeasuredKind))
	typed, err := sootline.FormOf(sootline.Measured{Panel: id.Panel, Loop: id.Name})
	if err != nil {
		return nil, err
	}
	form.typed = typed
	form = form.drawn(siteAddress(survey)+"/log#add", nil)
	return &form, nil
}
