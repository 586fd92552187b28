package listing

import "fmt"

// doubtChannels asks about a column of channels, or sub-addresses, beside that of addresses: the book counts points by their address,
// so that the channels of one device would be points of one number, or samples of one.
func (s *study) doubtChannels() {
	u := s.u
	if u.Kind == KindUnknown || u.Kind == KindTypes || !u.has(Point, Address) {
		return
	}
	for i, c := range u.Columns {
		if c.Field != Unused || s.matches[i].strength == strengthProfile || len(s.content[i].distinct) < 2 || !u.lx.isSubAddress(fold(c.Heading)) {
			continue
		}
		would := "each channel would be a device of that number"
		if u.Kind != KindSchedule {
			would = "what is said of a channel would be said of the device"
		}
		u.askOnce(AskChannel, fmt.Sprintf("Column %q tells channels of one address apart, which the book does not: %s. Shall they be taken so? If not, give each channel a number of its own.", u.columnName(i), would),
			Choice{columnKey(i) + "=" + string(Unused), "yes: by their address alone"})
	}
}
