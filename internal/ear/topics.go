package ear

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/eclipse/paho.golang/autopaho"
	"github.com/eclipse/paho.golang/paho"

	"sootline"
)

// Topics are values that devices send to a broker of MQTT. They are subscribed to; nothing is published, and a connection over
// which something else than a subscription would leave is ended before it does.
type Topics struct{ Address string }

// Values subscribes, and hands on what comes. Of a place one value is taken in so long a time, and the first.
func (b Topics) Values(ctx context.Context, places []Place, every time.Duration, out ValueOut) error {
	if every == 0 {
		return sootline.Errorf(sootline.Invalid, "listen to it for a while", "a broker is not asked: it tells when it has something to tell")
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	t := &topicValues{places: places, out: out, least: min(every, time.Minute), last: make([]time.Time, len(places)), by: map[string][]int{}}
	for i, p := range places {
		t.by[p.topic] = append(t.by[p.topic], i)
	}
	client, err := autopaho.NewConnection(ctx, b.config(t, cancel))
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "give the broker's host and port", "cannot listen to %s: %w", b.Address, err)
	}
	<-client.Done()
	if cause := context.Cause(ctx); cause != nil && !errors.Is(cause, context.Canceled) {
		return cause
	}
	return nil
}

// config is how the library connects: through a connection that lets no message out.
func (b Topics) config(t *topicValues, fail func(error)) autopaho.ClientConfig {
	return autopaho.ClientConfig{
		ServerUrls: []*url.URL{{Scheme: "mqtt", Host: b.Address}}, KeepAlive: 20, CleanStartOnInitialConnection: true,
		ReconnectBackoff: func(n int) time.Duration { return min(firstWait<<min(n, 6), lastWait) },
		AttemptConnection: func(ctx context.Context, _ autopaho.ClientConfig, _ *url.URL) (net.Conn, error) {
			var dialer net.Dialer
			conn, err := dialer.DialContext(ctx, "tcp", b.Address)
			if err != nil {
				return nil, err
			}
			return &subscribing{Conn: conn}, nil
		},
		OnConnectionUp: func(client *autopaho.ConnectionManager, _ *paho.Connack) {
			t.out.Say(b.Address + ": connected")
			t.out.joined(true)
			go func() {
				var err error
				defer func() {
					if err != nil {
						t.out.Say(b.Address + ": not subscribed: " + err.Error())
					}
				}()
				defer sootline.Caught(&err)
				err = t.subscribe(client)
			}()
		},
		OnConnectionDown: func() bool {
			t.out.Say(b.Address + ": the other side ended it")
			t.out.joined(false)
			return true
		},
		OnConnectError: func(err error) {
			t.out.joined(false)
			t.out.Say(b.Address + ": " + err.Error())
		},
		ClientConfig: paho.ClientConfig{
			ClientID: "sootline-" + strconv.FormatInt(time.Now().UnixNano(), 36),
			OnPublishReceived: []func(paho.PublishReceived) (bool, error){func(p paho.PublishReceived) (bool, error) {
				if err := t.came(p.Packet.Topic, p.Packet.Payload); err != nil {
					fail(err)
				}
				return true, nil
			}},
		},
	}
}

// topicValues takes what comes on topics.
type topicValues struct {
	places []Place
	out    ValueOut
	least  time.Duration
	lock   sync.Mutex
	last   []time.Time
	by     map[string][]int
}

// atATime is how many topics are subscribed to in one request.
const atATime = 100

func (t *topicValues) subscribe(client *autopaho.ConnectionManager) error {
	var ask []paho.SubscribeOptions
	send := func() error {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		_, err := client.Subscribe(ctx, &paho.Subscribe{Subscriptions: ask})
		ask = nil
		return err
	}
	for topic := range t.by {
		if ask = append(ask, paho.SubscribeOptions{Topic: topic}); len(ask) == atATime {
			if err := send(); err != nil {
				return err
			}
		}
	}
	if len(ask) == 0 {
		return nil
	}
	return send()
}

// came takes a message. What is no number says nothing, and what comes too soon after the one before.
func (t *topicValues) came(topic string, payload []byte) error {
	t.lock.Lock()
	defer t.lock.Unlock()
	for _, i := range t.by[topic] {
		v, ok := numberIn(payload, t.places[i].key)
		now := t.out.Now()
		if !ok || now.Sub(t.last[i]) < t.least {
			continue
		}
		t.last[i] = now
		if err := t.out.tell(t.places, i, v); err != nil {
			return err
		}
	}
	return nil
}

// numberIn reads a number, or the number that an object has by a key.
func numberIn(payload []byte, key string) (float64, bool) {
	if key != "" {
		var object map[string]json.RawMessage
		if json.Unmarshal(payload, &object) != nil {
			return 0, false
		}
		payload = object[key]
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(string(payload)), 64)
	return v, err == nil && v-v == 0
}

// subscribing is a connection over which MQTT connects, subscribes, keeps alive and ends, and over which nothing else leaves.
type subscribing struct {
	net.Conn
	lock sync.Mutex
	head []byte // of the packet that leaves, as far as its length is not known
	left int    // bytes of it that are still to leave
}

// errPublishes says that something else would have left.
var errPublishes = errors.New("what would leave is no subscription")

// Packets that may leave (MQTT 5.0, 2.1.2, from memory): connect, subscribe, ping, disconnect.
var leaves = map[byte]bool{1: true, 8: true, 12: true, 14: true}

func (s *subscribing) Write(b []byte) (int, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if err := s.check(b); err != nil {
		return 0, errors.Join(err, s.Conn.Close())
	}
	n, err := s.Conn.Write(b)
	if err == nil && n < len(b) {
		err = io.ErrShortWrite
	}
	return n, err
}

// check follows the packets that leave.
func (s *subscribing) check(b []byte) error {
	for _, c := range b {
		if s.left > 0 {
			s.left--
			continue
		}
		s.head = append(s.head, c)
		if !leaves[s.head[0]>>4] || len(s.head) > 5 {
			return errPublishes
		}
		if len(s.head) == 1 || c&0x80 != 0 {
			continue
		}
		for i := len(s.head) - 1; i > 0; i-- {
			s.left = s.left<<7 | int(s.head[i]&0x7F)
		}
		s.head = s.head[:0]
	}
	return nil
}
