package web

import (
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// outage is a server that can really be stopped, and be killed in the middle of
// an answer.
type outage struct {
	t       *testing.T
	handler http.Handler
	address string
	server  *http.Server

	handIns atomic.Int64 // requests that hand entries in
	cut     atomic.Int64 // how many of them are still to be cut off, before and after their work in turn
}

func newOutage(t *testing.T, s *Server) *outage {
	o := &outage{t: t, handler: s, address: "127.0.0.1:0"}
	o.start()
	t.Cleanup(o.stop)
	return o
}

func (o *outage) start() {
	o.t.Helper()
	var listener net.Listener
	var err error
	for range 50 { // the port may take a moment to be free again
		if listener, err = net.Listen("tcp", o.address); err == nil {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if err != nil {
		o.t.Fatal(err)
	}
	o.address = listener.Addr().String()
	o.server = &http.Server{Handler: o}
	go o.server.Serve(listener) //nolint:errcheck // it ends when it is stopped
}

// stop closes the port and every connection.
func (o *outage) stop() { o.server.Close() }

func (o *outage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if !strings.HasSuffix(r.URL.Path, "/visit/entries") {
		o.handler.ServeHTTP(w, r)
		return
	}
	o.handIns.Add(1)
	left := o.cut.Add(-1)
	if left < 0 {
		o.handler.ServeHTTP(w, r)
		return
	}
	if left%2 == 0 { // the work is done, and nobody hears of it
		o.handler.ServeHTTP(httptest.NewRecorder(), r)
	}
	panic(http.ErrAbortHandler)
}

func (o *outage) at(host, path string) string {
	_, port, _ := strings.Cut(o.address, ":")
	return "http://" + host + ":" + port + path
}
