// Package wires plays the other side of what can be listened to, on this machine alone: a printer port, a stream of text, a
// file that grows, a sender of syslog, Modbus over TCP and serial lines, a broker of MQTT, a device of BACnet/IP. Tests
// start them. Each keeps what the program sent in a [Journal], byte by byte, and fails the test where something could have
// written to the other side. Each can be broken: noise, halves, silence, flood, restart.
//
// It was written without sight of what listens and imports nothing of the program. The encodings are written from memory
// of the open standards (Modbus Application Protocol V1.1b3, ASHRAE 135, RFC 5424, 5426 and 6587); Modbus is held against
// a client that nobody here wrote, MQTT is a kept library.
package wires
