package wires

import (
	"fmt"
	"math"
	"net"
	"slices"
	"time"
)

// The services by their numbers, from memory. What is not among those that read counts as a write.
var (
	confirmedReads = map[byte]string{
		3: "get alarm summary", 4: "get enrolment summary", 5: "subscribe to changes", 6: "read file", 12: "read property", 14: "read properties",
		26: "read range", 28: "subscribe to changes of a property", 29: "get event information",
	}
	confirmedWrites = map[byte]string{
		0: "acknowledge an alarm", 1: "notify of a change", 2: "notify of an event", 7: "write file", 8: "add list element", 9: "remove list element",
		10: "create object", 11: "delete object", 15: "write property", 16: "write properties", 17: "device communication control",
		18: "private transfer", 19: "text message", 20: "reinitialise device", 27: "life safety operation",
	}
	unconfirmedReads  = map[byte]string{0: "I am", 7: "who has", 8: "who is"}
	unconfirmedWrites = map[byte]string{
		2: "notify of a change", 3: "notify of an event", 4: "private transfer", 5: "text message", 6: "set the time", 9: "set the time in UTC",
		10: "write group",
	}
)

// note keeps a datagram.
func (d *Device) note(b, apdu []byte, function byte) {
	what, write := "nothing that is BACnet/IP", true
	named := func(reads, writes map[byte]string, service byte) {
		what, write = reads[service], false
		if what == "" {
			if what, write = writes[service], true; what == "" {
				what = fmt.Sprintf("service %d", service)
			}
		}
	}
	switch {
	case len(apdu) == 0 && function != 0:
		what, write = fmt.Sprintf("function %d of the link", function), function == 1 || function == 8 // tables of other devices
	case len(apdu) == 0:
	case apdu[0]>>4 == 0 && len(apdu) >= 4:
		named(confirmedReads, confirmedWrites, apdu[3])
	case apdu[0]>>4 == 1 && len(apdu) >= 2:
		named(unconfirmedReads, unconfirmedWrites, apdu[1])
	case apdu[0]>>4 == 2, apdu[0]>>4 >= 4 && apdu[0]>>4 <= 7:
		what, write = "an answer without values", false
	}
	d.Journal.note(what, write, b)
}

func (d *Device) serve(conn *net.UDPConn) {
	b := make([]byte, 2048)
	for {
		n, from, err := conn.ReadFromUDP(b)
		if err != nil {
			return
		}
		apdu, function, err := unframed(b[:n])
		if err != nil {
			apdu, function = nil, 0
		}
		d.note(b[:n], apdu, function)
		if len(apdu) > 0 {
			d.answer(conn, from, apdu)
		}
	}
}

func (d *Device) answer(conn *net.UDPConn, to *net.UDPAddr, apdu []byte) {
	var out []byte
	switch kind := apdu[0] >> 4; {
	case kind == 1 && len(apdu) >= 2 && apdu[1] == 8 && d.asked(apdu[2:]):
		out = d.iAm()
	case kind == 0 && len(apdu) >= 4 && apdu[0]&8 == 0:
		out = d.confirmed(to, apdu[2], apdu[3], apdu[4:])
	}
	if out == nil {
		return
	}
	ill := Ill("")
	d.mu.Lock()
	if len(d.ills) > 0 {
		ill, d.ills = d.ills[0], d.ills[1:]
	}
	late := d.Late
	d.mu.Unlock()
	switch ill {
	case Silent:
		return
	case Slow:
		time.Sleep(late)
	case OtherAsk:
		if len(out) > 1 {
			out[1]++
		}
	case Failed:
		out = refusal(apdu[2], apdu[3], 0, 0) // device, other
	}
	out = framed(out)
	switch ill {
	case Noise:
		out = garbled(out, 0)
	case Half:
		out = out[:len(out)/2]
	}
	_, _ = conn.WriteToUDP(out, to) // whoever asked may have gone
	d.first(apdu)
}

// first tells a new subscriber the value as it is, behind the answer.
func (d *Device) first(apdu []byte) {
	if apdu[0]>>4 != 0 || apdu[3] != 5 {
		return
	}
	says, err := contexts(apdu[4:])
	if err != nil {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if x := d.thing(says[1]); x != nil {
		_ = d.tell(x, false) // whoever asked may have gone
	}
}

// asked: the range of a who-is has the device in it.
func (d *Device) asked(b []byte) bool {
	says, err := contexts(b)
	if err != nil {
		return false
	}
	low, bounded := says[0]
	return !bounded || d.Instance >= low && d.Instance <= says[1]
}

// iAm says: who it is, 1476 bytes at most, no segments, vendor 0 (the body of the standard).
func (d *Device) iAm() []byte {
	out := append([]byte{0x10, 0}, tagged(tagObject, 0, four(object(DeviceKind, d.Instance)))...)
	out = append(out, tagged(tagUnsigned, 0, least(1476))...)
	out = append(out, tagged(tagEnumerated, 0, []byte{3})...)
	return append(out, tagged(tagUnsigned, 0, []byte{0})...)
}

// refusal is an error of a class and code.
func refusal(invoke, service, class, code byte) []byte {
	return []byte{0x50, invoke, service, tagEnumerated<<4 | 1, class, tagEnumerated<<4 | 1, code}
}

func (d *Device) confirmed(to *net.UDPAddr, invoke, service byte, b []byte) []byte {
	d.mu.Lock()
	defer d.mu.Unlock()
	says, err := contexts(b)
	switch {
	case service != 12 && service != 5:
		return []byte{0x60, invoke, 9} // it does not have the service
	case err != nil:
		return []byte{0x60, invoke, 4} // a tag that is wrong
	case service == 5:
		return d.subscribe(to, invoke, says)
	}
	value, class, code := d.property(says)
	if value == nil {
		return refusal(invoke, service, class, code)
	}
	out := append([]byte{0x30, invoke, service}, tagged(0, 8, four(says[0]))...)
	out = append(out, tagged(1, 8, least(says[1]))...)
	if index, ok := says[2]; ok {
		out = append(out, tagged(2, 8, least(index))...)
	}
	out = append(append(out, opened(3)), value...)
	return append(out, closed(3))
}

// The properties that the device has.
const (
	objectList   = 76
	objectName   = 77
	presentValue = 85
	statusFlags  = 111
	unitsOf      = 117
)

// property gives a value; none: the class and the code of the error.
func (d *Device) property(says map[byte]uint32) (value []byte, class, code byte) {
	if says[0] == object(DeviceKind, d.Instance) {
		switch says[1] {
		case objectName:
			return textValue(fmt.Sprintf("device %d", d.Instance)), 0, 0
		case objectList:
			return d.list(says)
		}
		return nil, 2, 32 // no such property
	}
	x := d.thing(says[0])
	if x == nil {
		return nil, 1, 31 // no such object
	}
	switch {
	case says[1] == objectName:
		return textValue(x.Name), 0, 0
	case says[1] == presentValue:
		return x.value(), 0, 0
	case says[1] == statusFlags:
		return flagsValue(x.Flags), 0, 0
	case says[1] == unitsOf && x.Kind == AnalogInput:
		return tagged(tagEnumerated, 0, least(x.Units)), 0, 0
	}
	return nil, 2, 32
}

func (x *Thing) value() []byte {
	switch x.Kind {
	case BinaryInput:
		return tagged(tagEnumerated, 0, []byte{byte(x.Value)})
	case MultiInput:
		return tagged(tagUnsigned, 0, least(uint32(math.Round(x.Value))))
	}
	return realValue(x.Value)
}

// list gives the objects of the device: all, how many (index 0), or one.
func (d *Device) list(says map[byte]uint32) (value []byte, class, code byte) {
	all := [][]byte{tagged(tagObject, 0, four(object(DeviceKind, d.Instance)))}
	for _, x := range d.things {
		all = append(all, tagged(tagObject, 0, four(object(x.Kind, x.Instance))))
	}
	index, one := says[2]
	switch {
	case !one && len(all)*5 > 1400:
		return nil, 2, 42 // it does not fit a message; the code is from memory
	case !one:
		return slices.Concat(all...), 0, 0
	case index == 0:
		return tagged(tagUnsigned, 0, least(uint32(len(all)))), 0, 0
	case int(index) <= len(all):
		return all[index-1], 0, 0
	}
	return nil, 2, 42
}

// subscribe begins, renews or ends a subscription.
func (d *Device) subscribe(to *net.UDPAddr, invoke byte, says map[byte]uint32) []byte {
	if d.thing(says[1]) == nil {
		return refusal(invoke, 5, 1, 31)
	}
	d.watchers = slices.DeleteFunc(d.watchers, func(w watcher) bool {
		return w.process == says[0] && w.object == says[1] && w.to.String() == to.String()
	})
	confirmed, some := says[2]
	if some {
		w := watcher{to: to, process: says[0], object: says[1], confirmed: confirmed == 1, told: math.Inf(1)}
		if says[3] > 0 {
			w.until = time.Now().Add(time.Duration(says[3]) * time.Second)
		}
		d.watchers = append(d.watchers, w)
	}
	return []byte{0x20, invoke, 5}
}

// notification tells a subscriber of a value and its flags.
func (d *Device) notification(w watcher, x *Thing) []byte {
	out := []byte{0x10, 2}
	if w.confirmed {
		out = []byte{0x00, 5, d.invoke, 1}
	}
	left := uint32(0)
	if !w.until.IsZero() {
		left = uint32(max(1, time.Until(w.until)/time.Second))
	}
	out = append(out, tagged(0, 8, least(w.process))...)
	out = append(out, tagged(1, 8, four(object(DeviceKind, d.Instance)))...)
	out = append(out, tagged(2, 8, four(w.object))...)
	out = append(out, tagged(3, 8, least(left))...)
	out = append(out, opened(4))
	for _, property := range []struct {
		id    uint32
		value []byte
	}{{presentValue, x.value()}, {statusFlags, flagsValue(x.Flags)}} {
		out = append(out, tagged(0, 8, least(property.id))...)
		out = append(append(append(out, opened(2)), property.value...), closed(2))
	}
	return append(out, closed(4))
}
