package wires

import (
	"errors"
	"io"
	"log/slog"
	"net"
	"strings"
	"sync"

	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/hooks/auth"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
)

// Broker is a broker of MQTT. What the program publishes is kept as an attempt to write, and so is a will.
type Broker struct {
	Journal Journal
	Address string // host and port; they stay the same after a restart

	server *mqtt.Server
	tap    *tap
}

// Wire gives every byte that came over connections, in order of arrival.
func (b *Broker) Wire() []byte {
	b.tap.mu.Lock()
	defer b.tap.mu.Unlock()
	return append([]byte(nil), b.tap.bytes...)
}

// tap is a listener whose connections keep what they read.
type tap struct {
	net.Listener

	mu    sync.Mutex
	bytes []byte
}

// Accept gives a connection that keeps what it reads.
func (t *tap) Accept() (net.Conn, error) {
	conn, err := t.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return tapped{conn, t}, nil
}

type tapped struct {
	net.Conn

	to *tap
}

// Read keeps what it reads.
func (t tapped) Read(b []byte) (int, error) {
	n, err := t.Conn.Read(b)
	t.to.mu.Lock()
	defer t.to.mu.Unlock()
	t.to.bytes = append(t.to.bytes, b[:n]...)
	return n, err
}

// NewBroker starts a broker.
func NewBroker(t T) *Broker {
	t.Helper()
	b := &Broker{}
	if err := b.Start("127.0.0.1:0"); err != nil {
		t.Fatalf("no broker: %v", err)
	}
	b.Journal.watch(t, "the broker")
	t.Cleanup(b.Stop)
	return b
}

// Start listens at an address.
func (b *Broker) Start(address string) error {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	b.Address = listener.Addr().String()
	kept := []byte(nil)
	if b.tap != nil { // before a restart
		kept = b.Wire()
	}
	b.tap = &tap{Listener: listener, bytes: kept}
	b.server = mqtt.New(&mqtt.Options{InlineClient: true, Logger: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err := b.server.AddHook(new(auth.AllowHook), nil); err != nil {
		return err
	}
	if err := b.server.AddHook(&witness{j: &b.Journal}, nil); err != nil {
		return err
	}
	if err := b.server.AddListener(listeners.NewNet("loopback", b.tap)); err != nil {
		return err
	}
	return b.server.Serve()
}

// Stop ends the broker and its connections.
func (b *Broker) Stop() { _ = b.server.Close() } // it may be stopped already

// Restart ends the broker, which forgets its sessions and what it retained, and starts it again at the same address.
func (b *Broker) Restart() error {
	b.Stop()
	return b.Start(b.Address)
}

// Publish gives a value to a topic, as a device would. Silence is to publish nothing.
func (b *Broker) Publish(topic string, payload []byte, retain bool, qos byte) error {
	return b.server.Publish(topic, payload, retain, qos)
}

// Flood publishes the same n times without a pace.
func (b *Broker) Flood(topic string, payload []byte, n int) error {
	return counted(n, func(int) error { return b.Publish(topic, payload, false, 0) })
}

// Noise sends bytes that mean nothing over every connection: a packet of a type that there is not.
func (b *Broker) Noise() error { return b.raw([]byte{0x00, 0xff, 0xff, 0xff, 0xff, 0x7f, 0xa5, 0x5a}) }

// Half sends the first part of a message over every connection, and ends them.
func (b *Broker) Half(topic string, payload []byte) error {
	body := append([]byte{byte(len(topic) >> 8), byte(len(topic))}, topic...)
	body = append(body, payload...)
	if len(body) > 127 {
		return errors.New("a longer message than can be halved here")
	}
	whole := append([]byte{0x30, byte(len(body))}, body...)
	err := b.raw(whole[:len(whole)/2])
	b.Drop()
	return err
}

// raw sends bytes over every connection of the network.
func (b *Broker) raw(bytes []byte) error {
	var err error
	for _, client := range b.server.Clients.GetAll() {
		if !client.Net.Inline {
			_, e := client.Net.Conn.Write(bytes)
			err = errors.Join(err, e)
		}
	}
	return err
}

// Drop ends the connections and keeps the broker.
func (b *Broker) Drop() {
	for _, client := range b.server.Clients.GetAll() {
		if !client.Net.Inline {
			client.Stop(io.EOF)
		}
	}
}

// Subscribed lists the filters to which somebody on the network has subscribed by now.
func (b *Broker) Subscribed() []string {
	var out []string
	for _, client := range b.server.Clients.GetAll() {
		for filter := range client.State.Subscriptions.GetAll() {
			out = append(out, filter)
		}
	}
	return out
}

// witness keeps each packet of the program.
type witness struct {
	mqtt.HookBase

	j *Journal
}

// ID names the hook.
func (w *witness) ID() string { return "witness" }

// Provides says of what the hook is told.
func (w *witness) Provides(b byte) bool { return b == mqtt.OnPacketRead || b == mqtt.OnConnect }

// OnPacketRead keeps a packet.
func (w *witness) OnPacketRead(cl *mqtt.Client, pk packets.Packet) (packets.Packet, error) {
	if !cl.Net.Inline {
		name := strings.ToLower(packets.PacketNames[pk.FixedHeader.Type])
		w.j.note(strings.TrimSpace(name+" "+pk.TopicName), pk.FixedHeader.Type == packets.Publish, pk.Payload)
	}
	return pk, nil
}

// OnConnect keeps a will, which would be published when the program goes.
func (w *witness) OnConnect(cl *mqtt.Client, pk packets.Packet) error {
	if pk.Connect.WillFlag {
		w.j.note("will "+pk.Connect.WillTopic, true, pk.Connect.WillPayload)
	}
	return nil
}
