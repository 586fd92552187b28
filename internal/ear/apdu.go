package ear

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The encoding of two services of BACnet, ReadProperty and SubscribeCOV, and of what comes back (ASHRAE 135, clauses 5, 6, 13, 15,
// 20 and annex J, from memory). No other request can be built.

// thing is an object of a device: its type and its instance.
type thing struct {
	kind     uint16
	instance uint32
}

// thingKinds are the types of objects that have a value of a number.
var thingKinds = map[string]uint16{
	"analog-input": 0, "analog-output": 1, "analog-value": 2, "binary-input": 3, "binary-output": 4, "binary-value": 5,
	"multi-state-input": 13, "multi-state-output": 14, "multi-state-value": 19,
}

// thingNamed reads analog-input:12, or 0:12.
func thingNamed(text string) (thing, error) {
	kind, instance, two := strings.Cut(strings.ToLower(text), ":")
	kind = strings.TrimSpace(kind)
	k, known := thingKinds[kind]
	if !known {
		n, err := strconv.ParseUint(kind, 10, 10)
		if err != nil {
			return thing{}, fmt.Errorf("%q is no object", text)
		}
		k = uint16(n)
	}
	i, err := strconv.ParseUint(strings.TrimSpace(instance), 10, 22)
	if !two || err != nil {
		return thing{}, fmt.Errorf("%q is no object", text)
	}
	return thing{k, uint32(i)}, nil
}

// id is how an object is written: ten bits of type, 22 of instance.
func (t thing) id() uint32 { return uint32(t.kind)<<22 | t.instance }

// Types of an APDU, and the services that are used.
const (
	confirmed   = 0
	unconfirmed = 1
	simpleAck   = 2
	complexAck  = 3
	errorPDU    = 5
	rejectPDU   = 6
	abortPDU    = 7

	serviceRead      = 12
	serviceSubscribe = 5
	serviceChanged   = 2

	presentValue = 85
)

// framed puts a request into a datagram: BVLC, NPDU that expects a reply, APDU of a confirmed request of up to 1,476 bytes.
func framed(id, service byte, parameters []byte) []byte {
	b := []byte{0x81, 0x0A, 0, 0, 0x01, 0x04, confirmed << 4, 0x05, id, service}
	b = append(b, parameters...)
	binary.BigEndian.PutUint16(b[2:], uint16(len(b)))
	return b
}

// readFrame asks for the present value of an object.
func readFrame(id byte, t thing) []byte {
	p := binary.BigEndian.AppendUint32([]byte{0x0C}, t.id())
	return framed(id, serviceRead, append(p, 0x19, presentValue))
}

// subscribeFrame asks to be told of changes of an object, unconfirmed, for so many seconds.
func subscribeFrame(id byte, process uint32, t thing, seconds uint16) []byte {
	p := binary.BigEndian.AppendUint32([]byte{0x0C}, process)
	p = binary.BigEndian.AppendUint32(append(p, 0x1C), t.id())
	p = append(p, 0x29, 0x00)
	return framed(id, serviceSubscribe, binary.BigEndian.AppendUint16(append(p, 0x3A), seconds))
}

// apdu is what a device sent.
type apdu struct {
	kind, id, service byte
	rest              []byte
}

func (a apdu) refuses() bool { return a.kind == errorPDU || a.kind == rejectPDU || a.kind == abortPDU }

var errNoAPDU = errors.New("what came is nothing of BACnet that was asked for")

// apduOf reads a datagram.
func apduOf(b []byte) (apdu, error) {
	if len(b) < 6 || b[0] != 0x81 || b[1] != 0x0A && b[1] != 0x0B || int(binary.BigEndian.Uint16(b[2:])) != len(b) || b[4] != 0x01 {
		return apdu{}, errNoAPDU
	}
	control := b[5]
	at := 6
	skip := func(is bool) { // an address of network and device
		if !is {
			return
		}
		if at+2 >= len(b) {
			at = len(b)
			return
		}
		at += 3 + int(b[at+2])
	}
	if control&0x80 != 0 {
		return apdu{}, errNoAPDU // a message between routers
	}
	skip(control&0x20 != 0)
	skip(control&0x08 != 0)
	if control&0x20 != 0 {
		at++ // hops
	}
	if at+2 > len(b) {
		return apdu{}, errNoAPDU
	}
	a := apdu{kind: b[at] >> 4}
	b = b[at:]
	switch {
	case a.kind == unconfirmed:
		a.service, a.rest = b[1], b[2:]
	case a.kind == simpleAck || a.kind == complexAck && b[0]&0x08 == 0 || a.kind == errorPDU:
		if len(b) < 3 {
			return apdu{}, errNoAPDU
		}
		a.id, a.service, a.rest = b[1], b[2], b[3:]
	case a.kind == rejectPDU || a.kind == abortPDU:
		a.id = b[1]
	default:
		return apdu{}, errNoAPDU
	}
	return a, nil
}

// tags reads what follows, tag by tag.
type tags struct{ b []byte }

// tag is a tag with what it holds. Open and shut stand around others.
type tag struct {
	number     byte
	context    bool
	open, shut bool
	small      byte // of an application tag: its length as written, which is the value of a boolean
	held       []byte
}

func (t *tags) next() (tag, error) {
	if len(t.b) == 0 {
		return tag{}, errNoAPDU
	}
	first := t.b[0]
	x := tag{number: first >> 4, context: first&0x08 != 0, small: first & 7}
	t.b = t.b[1:]
	if x.number == 0x0F { // numbers beyond 14 are not used by what is asked here
		return tag{}, errNoAPDU
	}
	if x.context && x.small >= 6 {
		x.open, x.shut = x.small == 6, x.small == 7
		return x, nil
	}
	length := int(x.small)
	if !x.context && x.number == 1 {
		return x, nil // a boolean holds nothing more
	}
	if length == 5 {
		if len(t.b) == 0 || t.b[0] > 253 {
			return tag{}, errNoAPDU // nothing that is asked for is so long
		}
		length = int(t.b[0])
		t.b = t.b[1:]
	}
	if length > len(t.b) {
		return tag{}, errNoAPDU
	}
	x.held, t.b = t.b[:length], t.b[length:]
	return x, nil
}

// holds reads the next tag, which must be of a number in the context.
func (t *tags) holds(number byte) (uint32, error) {
	x, err := t.next()
	if err != nil || !x.context || x.open || x.shut || x.number != number || len(x.held) < 1 || len(x.held) > 4 {
		return 0, errNoAPDU
	}
	var n uint32
	for _, c := range x.held {
		n = n<<8 | uint32(c)
	}
	return n, nil
}

func (t *tags) opens(number byte) bool {
	x, err := t.next()
	return err == nil && x.open && x.number == number
}

func (t *tags) shuts(number byte) bool {
	x, err := t.next()
	return err == nil && x.shut && x.number == number
}

// number reads a value of a number.
func (t *tags) number() (float64, error) {
	x, err := t.next()
	if err != nil || x.context {
		return 0, errNoAPDU
	}
	v := math.NaN()
	switch n := len(x.held); {
	case x.number == 1 && x.small < 2:
		v = float64(x.small)
	case (x.number == 2 || x.number == 9) && n >= 1 && n <= 8:
		var u uint64
		for _, c := range x.held {
			u = u<<8 | uint64(c)
		}
		v = float64(u)
	case x.number == 3 && n >= 1 && n <= 8:
		i := int64(int8(x.held[0]))
		for _, c := range x.held[1:] {
			i = i<<8 | int64(c)
		}
		v = float64(i)
	case x.number == 4 && n == 4:
		v = float64(math.Float32frombits(binary.BigEndian.Uint32(x.held)))
	case x.number == 5 && n == 8:
		v = math.Float64frombits(binary.BigEndian.Uint64(x.held))
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, errNoAPDU
	}
	return v, nil
}

// value reads the answer to [readFrame]: of that object, its present value.
func (a apdu) value(of thing) (float64, error) {
	if a.kind != complexAck || a.service != serviceRead {
		return 0, errNoAPDU
	}
	t := tags{a.rest}
	id, err := t.holds(0)
	property, err2 := t.holds(1)
	if err != nil || err2 != nil || id != of.id() || property != presentValue || !t.opens(3) {
		return 0, errNoAPDU
	}
	v, err := t.number()
	if err != nil || !t.shuts(3) || len(t.b) > 0 {
		return 0, errNoAPDU
	}
	return v, nil
}

// change reads what is told of a change: for which subscription, of which object, its present value.
func (a apdu) change() (process uint32, of thing, v float64, err error) {
	if a.kind != unconfirmed || a.service != serviceChanged {
		return 0, of, 0, errNoAPDU
	}
	t := tags{a.rest}
	var said [4]uint32 // process, device, object, time left
	for i := range said {
		if said[i], err = t.holds(byte(i)); err != nil {
			return 0, of, 0, err
		}
	}
	of = thing{uint16(said[2] >> 22), said[2] & (1<<22 - 1)}
	if !t.opens(4) {
		return 0, of, 0, errNoAPDU
	}
	for {
		property, err := t.holds(0)
		if err != nil || !t.opens(2) {
			return 0, of, 0, errNoAPDU
		}
		if property == presentValue {
			v, err := t.number()
			if err != nil || !t.shuts(2) {
				return 0, of, 0, errNoAPDU
			}
			return said[0], of, v, nil
		}
		for { // another property, the flags say
			x, err := t.next()
			if err != nil {
				return 0, of, 0, err
			}
			if x.shut && x.number == 2 {
				break
			}
		}
	}
}
