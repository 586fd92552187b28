package listing

import "fmt"

// mayNamePoint: the heading of a column does not say that it is another thing, such as a zone, a place or a day.
func (s *study) mayNamePoint(i int) bool {
	if s.u.lx.orderOfHeading(s.u.Columns[i].Heading) == ZoneDevice {
		return false
	}
	m, c := s.matches[i], &s.content[i]
	if m.field == Location && c.half(c.refs+c.weak+c.numbers) {
		return true // "where" may be headed over the numbers of points
	}
	return m.field == "" || m.field == Point || m.field.isNumber() || m.strength < strengthNear
}

// refusePointless refuses a table of which no column can name the points: to answer with another would only misread it.
func (s *study) refusePointless() {
	s.u.refuse(fmt.Sprintf("it looks like %s, and no column of it names a point; a zone or a place is none", kindText(s.u.Kind)))
}
