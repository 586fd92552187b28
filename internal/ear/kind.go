package ear

import (
	"net"
	"strings"

	"sootline"
)

// Kind is a kind of source.
type Kind string

// The kinds of sources: of text, and of values.
const (
	File   Kind = "file"
	TCP    Kind = "tcp"
	Serial Kind = "serial"
	Syslog Kind = "syslog"

	ModbusTCP  Kind = "modbus"
	ModbusLine Kind = "modbus-serial"
	Broker     Kind = "mqtt"
	Device     Kind = "bacnet"
)

// Kinds lists the kinds, in the order in which they are offered.
func Kinds() []Kind {
	return []Kind{TCP, Serial, File, Syslog, ModbusTCP, ModbusLine, Broker, Device}
}

// OfValues reports whether a kind gives values and no text.
func (k Kind) OfValues() bool { return k == ModbusTCP || k == ModbusLine || k == Broker || k == Device }

// OfMachine reports whether its address is a path of the machine that listens.
func (k Kind) OfMachine() bool { return k == File || k == Serial || k == ModbusLine }

// Says tells what a kind is.
func (k Kind) Says() string {
	switch k {
	case TCP:
		return "text over TCP, from HOST:PORT"
	case Serial:
		return "a serial printer port, by its device file"
	case File:
		return "a file to which another program adds"
	case Syslog:
		return "syslog (RFC 5424), at an address of this machine"
	case ModbusTCP:
		return "values over Modbus TCP, from HOST:PORT"
	case ModbusLine:
		return "values over Modbus RTU, on a serial line by its device file"
	case Broker:
		return "values over MQTT, from a broker at HOST:PORT"
	case Device:
		return "values over BACnet/IP, from a device at HOST:PORT"
	}
	return ""
}

// Check refuses what cannot be where a source is heard.
func Check(kind Kind, address string) error {
	switch {
	case kind.Says() == "":
		return sootline.Errorf(sootline.Invalid, "choose one of the kinds that are offered", "a source of kind %q is not known", kind)
	case address == "" || strings.ContainsAny(address, "\x00\n\r"):
		return sootline.Errorf(sootline.Invalid, "say where it is heard", "a source of kind %s has no address", kind)
	case kind.OfMachine():
		return nil
	}
	if _, port, err := net.SplitHostPort(address); err != nil || port == "" {
		return sootline.Errorf(sootline.Invalid, "for example 192.0.2.7:4001", "%q is no host and port", address)
	}
	return nil
}

// Open gives the source of text of a kind at an address.
func Open(kind Kind, address string, speed int) (Source, error) {
	switch kind {
	case File:
		return Growing{Path: address}, nil
	case TCP:
		return Stream{Address: address}, nil
	case Serial:
		return Port{Path: address, Speed: speed}, nil
	case Syslog:
		return Messages{Address: address}, nil
	}
	return nil, sootline.Errorf(sootline.Invalid, "name a file, an address, a port or syslog", "a source of kind %q gives no text", kind)
}
