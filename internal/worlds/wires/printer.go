package wires

// Printer is a panel's printer port. What the program writes to it is kept as an attempt to write.
type Printer struct {
	*Voice
	*port

	Journal Journal
}

// NewPrinter makes a port that speaks at a speed in bits a second, ten of them a byte; 0: as fast as it goes, and whatever
// the speed at which the port is opened. With a speed, whoever opened the port at another one hears nothing but noise. A
// pseudo-terminal cannot tell parity and the number of bits. folder is for the port's name.
func NewPrinter(t T, folder string, bits int, seed uint64) *Printer {
	t.Helper()
	p := &Printer{}
	p.port = newPort(t, folder, bits, func(b []byte) { p.Journal.note("bytes to a printer", true, b) })
	p.Voice = newVoice(bits/10, seed, p.out)
	p.Journal.watch(t, "the printer port")
	return p
}
