package web

import (
	"cmp"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// openLines tells how the open visit stands.
func (s *Server) openLines(r *http.Request, survey *app.Survey, line store.SiteLine) (*openLines, error) {
	state, err := s.as(r).VisitState(r.Context(), line, s.App.Now())
	if err != nil {
		return nil, err
	}
	done, err := s.as(r).VisitDone(r.Context(), line)
	if err != nil {
		return nil, err
	}
	zone := survey.Zone
	open := &openLines{
		From: local(state.Visit.From(), zone), Capture: "/capture#" + line.ID.String(),
		All: len(state.Visit.Round), Seen: len(state.Visit.Round) - len(state.Undone), Questions: len(state.Asked),
	}
	if state.Visit.Opened != nil {
		open.By = state.Visit.Opened.Entry.By
	}
	if forgotten := state.Forgotten(); forgotten.Known() {
		open.Forgotten = forgotten.String()
	}
	open.stops(survey, &state, &done)
	for _, tick := range state.Walk.Others {
		at := local(tick.At, zone)
		if tick.Day {
			at = day(tick.At, zone)
		}
		open.Others = append(open.Others, otherAlarm{tick.Point.Ref().String(), pointAddress(survey, tick.Point), at, tick.Why})
	}
	for _, tick := range state.Walk.Unlike {
		open.Unlike = append(open.Unlike, otherAlarm{tick.Point.Ref().String(), pointAddress(survey, tick.Point), local(tick.At, zone), tick.Why})
	}
	for _, o := range state.Standing {
		one := standingLine{Says: o.String(), What: o.What}
		if o.Point != nil {
			one.Address = pointAddress(survey, o.Point)
		}
		open.Standing = append(open.Standing, one)
	}
	for _, left := range state.Undone {
		open.Undone = append(open.Undone, undoneLine{pointLink{left.Point.Ref().String(), pointAddress(survey, left.Point)}, sootline.Joined(left.Work...)})
	}
	for _, d := range done.Differences {
		open.Differences = append(open.Differences, differenceOf(survey, &d))
	}
	return open, nil
}

// stops lists the round with what was done at each of its points.
func (o *openLines) stops(survey *app.Survey, state *app.VisitState, done *app.VisitDone) {
	seen, undone := map[sootline.ID][]string{}, map[sootline.ID]string{}
	for _, left := range state.Undone {
		undone[left.Point.ID] = cmp.Or(sootline.Joined(left.Work...), "nothing done")
	}
	for _, d := range done.Done {
		if !d.Withdrawn {
			seen[d.Point] = append(seen[d.Point], sootline.Say(d.Body))
		}
	}
	heading := ""
	for i, p := range state.Visit.Round {
		line := stopLine{Turn: i + 1, Ref: p.Ref().String(), Address: pointAddress(survey, p), Place: p.Location, Type: p.Type, Seen: sootline.Joined(seen[p.ID]...), Undone: undone[p.ID]}
		if at := sootline.Joined(state.Register.Floor(p), p.Area); at != heading {
			heading, line.Heading = at, at
		}
		o.Stops = append(o.Stops, line)
	}
}

func differenceOf(survey *app.Survey, d *app.Difference) differenceLine {
	line := differenceLine{Ref: d.Point.Ref().String(), Address: pointAddress(survey, d.Point), What: d.What}
	for _, said := range d.Says {
		line.Says = append(line.Says, said.When(survey.Zone, "15:04")+" "+sootline.Joined(said.By, said.Station)+": "+sootline.Say(said.Body))
	}
	return line
}
