package app

import "sootline/internal/bench"

// BenchRemark is one thing to say of a device.
type BenchRemark = bench.Remark

// What a remark is about: the answer that would put it right.
const (
	AboutSerial   = "serial"
	AboutNumber   = "number"
	AboutSettings = "settings"
	AboutValue    = "value"
)

// BenchAbout says what a remark is about; what is about none of the answers before
// the value comes with that.
func BenchAbout(r BenchRemark) string {
	switch r.Code {
	case bench.SerialSeen, bench.SerialMissing, bench.SerialOther, bench.NotOnList, bench.TypeOther, bench.DoneBefore:
		return AboutSerial
	case bench.NumberTaken, bench.NumberImpossible, bench.NumberOther, bench.NoNumber:
		return AboutNumber
	case bench.ModeOther:
		return AboutSettings
	}
	return AboutValue
}

// NumberInTheWay reports whether a remark says, before a number was read back, that
// the one to be set cannot be, or is that of another device.
func NumberInTheWay(r BenchRemark) bool {
	return r.Code == bench.NumberTaken || r.Code == bench.NumberImpossible
}
