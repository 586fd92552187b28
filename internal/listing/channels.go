package listing

import (
	"fmt"
	"strings"
)

// doubtChannels asks about a column of channels, or sub-addresses, beside that of addresses: the book counts points by their address,
// so that the channels of one device would be points of one number, or samples of one.
func (s *study) doubtChannels() {
	u := s.u
	if u.Kind != KindSchedule && u.Kind != KindReadings || !u.has(Point, Address) {
		return
	}
	for i, c := range u.Columns {
		if c.Field != Unused || s.matches[i].strength == strengthProfile || len(s.content[i].distinct) < 2 || !u.lx.isSubAddress(fold(c.Heading)) {
			continue
		}
		if u.Kind != KindSchedule && !s.shareAddress(i) {
			continue
		}
		would := "each channel would be a device of that number"
		if u.Kind != KindSchedule {
			would = "the values of channels would be samples of one device"
		}
		u.askOnce(AskChannel, fmt.Sprintf("Column %q tells channels of one address apart, which the book does not: %s. Shall they be taken so? If not, give each channel a number of its own.", u.columnName(i), would),
			Choice{columnKey(i) + "=" + string(Unused), "yes: by their address alone"})
	}
}

// shareAddress: two rows of one address have different channels.
func (s *study) shareAddress(channel int) bool {
	channelOf := map[Ref]string{}
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || channel >= len(r.Cells) {
			continue
		}
		ref, own := s.u.refOf(&r), normalName(strings.TrimSpace(r.Cells[channel]))
		if before, seen := channelOf[ref]; seen && before != own {
			return true
		}
		channelOf[ref] = own
	}
	return false
}
