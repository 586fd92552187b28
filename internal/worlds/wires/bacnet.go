package wires

import (
	"errors"
	"net"
	"sync"
	"time"
)

// Thing is an object of a device.
type Thing struct {
	Kind     Kind
	Instance uint32
	Name     string
	Value    float64 // of binary inputs 0 or 1, of multi-state inputs a whole number from 1
	Units    uint32  // engineering units, as the standard numbers them; 95: none
	Flags    byte    // status flags, highest bit first: in alarm, fault, overridden, out of service
	// Change is by how much a value changes before subscribers are told; 0: any change.
	Change float64
}

// Kind is a type of object.
type Kind uint16

// The types of objects that the device has, as the standard numbers them.
const (
	AnalogInput Kind = 0
	BinaryInput Kind = 3
	DeviceKind  Kind = 8
	MultiInput  Kind = 13
)

// Device is a device of BACnet/IP.
type Device struct {
	Journal  Journal
	Address  string // host and port; they stay the same after a restart
	Instance uint32
	Late     time.Duration // of slow answers

	mu       sync.Mutex
	conn     *net.UDPConn
	things   []Thing
	watchers []watcher
	ills     []Ill
	invoke   byte
}

// watcher is a subscription to changes of a value.
type watcher struct {
	to        *net.UDPAddr
	process   uint32
	object    uint32
	confirmed bool
	until     time.Time // zero: for ever
	told      float64   // the value that it was told last
	flags     byte
}

// NewDevice starts a device.
func NewDevice(t T, instance uint32, things ...Thing) *Device {
	t.Helper()
	d := &Device{Instance: instance, things: things, Late: 2 * time.Second}
	if err := d.start("127.0.0.1:0"); err != nil {
		t.Fatalf("no device: %v", err)
	}
	d.Journal.watch(t, "the device")
	t.Cleanup(d.Stop)
	return d
}

// BeLate sets for how long slow answers wait, also while it runs.
func (d *Device) BeLate(wait time.Duration) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.Late = wait
}

func (d *Device) start(address string) error {
	at, err := net.ResolveUDPAddr("udp4", address)
	if err != nil {
		return err
	}
	conn, err := net.ListenUDP("udp4", at)
	if err != nil {
		return err
	}
	d.mu.Lock()
	d.conn, d.Address = conn, conn.LocalAddr().String()
	d.mu.Unlock()
	go d.serve(conn)
	return nil
}

// Stop ends the device.
func (d *Device) Stop() {
	d.mu.Lock()
	defer d.mu.Unlock()
	_ = d.conn.Close() // it may be stopped already
}

// Restart forgets all subscriptions, and listens again at the same address.
func (d *Device) Restart() error {
	d.Stop()
	d.mu.Lock()
	d.watchers = nil
	d.mu.Unlock()
	return d.start(d.Address)
}

// Spoil lets the next answers be ill, one each, in this order: [Slow], [OtherAsk], [Noise], [Half], [Silent] and [Failed].
func (d *Device) Spoil(ills ...Ill) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ills = append(d.ills, ills...)
}

// Subscribed is how many subscriptions hold now.
func (d *Device) Subscribed() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.forget()
	return len(d.watchers)
}

// Set gives an object a value and flags, and tells who subscribed.
func (d *Device) Set(kind Kind, instance uint32, value float64, flags byte) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	x := d.thing(object(kind, instance))
	if x == nil {
		return errors.New("the device has no such object")
	}
	x.Value, x.Flags = value, flags
	return d.tell(x, false)
}

// Flood tells who subscribed of an object n times, whether it changed or not.
func (d *Device) Flood(kind Kind, instance uint32, n int) error {
	return counted(n, func(int) error {
		d.mu.Lock()
		defer d.mu.Unlock()
		return d.tell(d.thing(object(kind, instance)), true)
	})
}

// Noise sends bytes that mean nothing to all who subscribed.
func (d *Device) Noise() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	var err error
	for _, w := range d.watchers {
		_, e := d.conn.WriteToUDP([]byte{0x81, 0x0a, 0x00, 0x7f, 0x01, 0x00, 0x10, 0x02, 0x09}, w.to)
		err = errors.Join(err, e)
	}
	return err
}

func object(kind Kind, instance uint32) uint32 { return uint32(kind)<<22 | instance&0x3fffff }

func (d *Device) thing(id uint32) *Thing {
	for i := range d.things {
		if object(d.things[i].Kind, d.things[i].Instance) == id {
			return &d.things[i]
		}
	}
	return nil
}

// forget drops subscriptions whose time is over.
func (d *Device) forget() {
	kept := d.watchers[:0]
	for _, w := range d.watchers {
		if w.until.IsZero() || time.Now().Before(w.until) {
			kept = append(kept, w)
		}
	}
	d.watchers = kept
}

// tell sends the value of an object to whoever subscribed and was told another.
func (d *Device) tell(x *Thing, anyway bool) error {
	d.forget()
	var err error
	for i := range d.watchers {
		w := &d.watchers[i]
		change := x.Value - w.told
		moved := change != 0 && max(change, -change) >= x.Change
		if w.object == object(x.Kind, x.Instance) && (anyway || moved || x.Flags != w.flags) {
			w.told, w.flags = x.Value, x.Flags
			d.invoke++
			_, e := d.conn.WriteToUDP(framed(d.notification(*w, x)), w.to)
			err = errors.Join(err, e)
		}
	}
	return err
}
