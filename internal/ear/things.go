package ear

import (
	"context"
	"errors"
	"net"
	"slices"
	"sync"
	"time"

	"sootline"
)

// Things are objects of a device of BACnet/IP. Their present values are read, and changes of them subscribed to; the two requests
// are all that can be built here.
type Things struct {
	Address string
	Wait    time.Duration // for an answer; 0: two seconds
}

// How long a subscription lasts, and how soon it is asked for again.
const (
	covSeconds = 600
	covAgain   = 4 * time.Minute
)

// deviceTalk is the talk with one device.
type deviceTalk struct {
	things Things
	places []Place
	out    ValueOut
	conn   *net.UDPConn
	next   byte // of requests

	lock    sync.Mutex
	waiting map[byte]chan apdu
	failed  error // of whoever takes values
}

// Values reads each place when it begins and again after so long, and takes the changes in between.
func (t Things) Values(ctx context.Context, places []Place, every time.Duration, out ValueOut) error {
	address, err := net.ResolveUDPAddr("udp", t.Address)
	var conn *net.UDPConn
	if err == nil {
		conn, err = net.DialUDP("udp", nil, address)
	}
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "give the device's host and port, 47808 as a rule", "cannot talk to %s: %w", t.Address, err)
	}
	d := &deviceTalk{things: t, places: places, out: out, conn: conn, waiting: map[byte]chan apdu{}}
	ctx, cancel := context.WithCancel(ctx)
	var ended error
	var wait sync.WaitGroup
	wait.Add(1)
	go func() {
		defer wait.Done()
		defer cancel()
		defer sootline.Caught(&ended)
		ended = d.hear()
	}()
	stop := context.AfterFunc(ctx, func() { _ = conn.Close() }) // every request is a datagram of its own
	d.ask(ctx, every)
	cancel()
	stop()
	_ = conn.Close() // it may be closed already
	wait.Wait()
	d.lock.Lock()
	defer d.lock.Unlock()
	return errors.Join(d.failed, ended)
}

// ask reads and subscribes until ctx ends.
func (d *deviceTalk) ask(ctx context.Context, every time.Duration) {
	read := time.Time{}
	wait := firstWait
	for ctx.Err() == nil {
		all := read.IsZero() || time.Since(read) >= every
		ok := d.round(ctx, all)
		if every == 0 {
			return
		}
		if ok && all {
			read = time.Now()
		}
		if ok {
			wait = firstWait
			sleep(ctx, min(covAgain, max(0, every-time.Since(read))))
			continue
		}
		d.out.joined(false)
		d.out.Say(d.things.Address + ": no answer; tried again in " + wait.String())
		sleep(ctx, wait)
		wait = min(2*wait, lastWait)
	}
}

// round subscribes to each place, and reads it where all are to be read. It reports whether the device answered.
func (d *deviceTalk) round(ctx context.Context, all bool) bool {
	silent := 0
	for i := range d.places {
		thing := d.places[i].thing
		_, err := d.request(ctx, func(id byte) []byte { return subscribeFrame(id, uint32(i), thing, covSeconds) })
		if err == nil || errors.Is(err, errDeviceRefuses) {
			silent = 0
			d.out.joined(true)
		} else if silent++; silent >= failuresMost || ctx.Err() != nil {
			return false
		}
		if !all {
			continue
		}
		answer, err := d.request(ctx, func(id byte) []byte { return readFrame(id, thing) })
		if err != nil {
			continue
		}
		if v, err := answer.value(thing); err == nil {
			d.told(i, v)
		}
	}
	return silent == 0
}

func (d *deviceTalk) told(i int, v float64) {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.failed == nil {
		d.failed = d.out.tell(d.places, i, v)
	}
	if d.failed != nil {
		_ = d.conn.Close() // it ends
	}
}

// requestTries is how often a request is sent before the device counts as silent (ASHRAE 135, three retries, from memory).
const requestTries = 3

// request sends a request, and waits for its answer.
func (d *deviceTalk) request(ctx context.Context, frame func(id byte) []byte) (apdu, error) {
	for range requestTries {
		id, came := d.expect()
		if _, err := d.conn.Write(frame(id)); err != nil && errors.Is(err, net.ErrClosed) {
			return apdu{}, err
		}
		wait := d.things.Wait
		if wait == 0 {
			wait = 2 * time.Second
		}
		select {
		case <-ctx.Done():
			return apdu{}, ctx.Err()
		case a := <-came:
			if a.refuses() {
				return a, errDeviceRefuses
			}
			return a, nil
		case <-time.After(wait):
			d.forget(id)
		}
	}
	return apdu{}, errNoAnswer
}

var (
	errNoAnswer      = errors.New("no answer")
	errDeviceRefuses = errors.New("the device refuses it")
)

func (d *deviceTalk) expect() (byte, chan apdu) {
	d.lock.Lock()
	defer d.lock.Unlock()
	d.next++
	came := make(chan apdu, 1)
	d.waiting[d.next] = came
	return d.next, came
}

func (d *deviceTalk) forget(id byte) {
	d.lock.Lock()
	defer d.lock.Unlock()
	delete(d.waiting, id)
}

// hear takes what the device sends, until the connection is closed.
func (d *deviceTalk) hear() error {
	buf := make([]byte, 1500)
	for {
		n, err := d.conn.Read(buf)
		if errors.Is(err, net.ErrClosed) {
			return nil
		}
		if err != nil {
			sleep(context.Background(), 50*time.Millisecond) // the port is unreachable for now
			continue
		}
		a, err := apduOf(slices.Clone(buf[:n]))
		if err != nil {
			continue // it means nothing
		}
		if a.kind == unconfirmed {
			d.changed(a)
			continue
		}
		d.lock.Lock()
		came := d.waiting[a.id]
		delete(d.waiting, a.id)
		d.lock.Unlock()
		if came != nil {
			came <- a
		}
	}
}

// changed takes a change that was subscribed to.
func (d *deviceTalk) changed(a apdu) {
	process, thing, v, err := a.change()
	if err != nil || int(process) >= len(d.places) || d.places[process].thing != thing {
		return
	}
	d.told(int(process), v)
}
