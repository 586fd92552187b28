// Package gateway starts object storage that speaks the S3 protocol on this
// machine, for tests: another project's server (the module in the folder module),
// over a folder. Tests alone import it.
package gateway

import (
	"errors"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"
)

// The keys to it.
const (
	KeyID  = "test-key"
	Secret = "not-a-secret-at-all"
)

// Start starts the server for the length of a test and gives its address and the
// folder in which each folder is a bucket. The test is skipped unless SOOTLINE_S3
// is set: the server is fetched and built once, which takes a minute or two.
func Start(t testing.TB) (endpoint, buckets string) {
	t.Helper()
	if os.Getenv("SOOTLINE_S3") == "" {
		t.Skip("set SOOTLINE_S3=1 to try it with object storage")
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := listener.Addr().String()
	buckets = t.TempDir()
	program := build(t)
	if err := listener.Close(); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "posix", buckets)
	cmd.Env = append(os.Environ(), "VGW_PORT="+address, "ROOT_ACCESS_KEY="+KeyID, "ROOT_SECRET_KEY="+Secret, "AWS_CA_BUNDLE=")
	log, err := os.Create(filepath.Join(t.TempDir(), "log"))
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdout, cmd.Stderr = log, log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := errors.Join(cmd.Process.Kill(), log.Close()); err != nil {
			t.Error(err)
		}
		_ = cmd.Wait() // it was killed
	})
	for range 300 {
		if conn, err := net.Dial("tcp", address); err == nil {
			if err := conn.Close(); err != nil {
				t.Fatal(err)
			}
			return "http://" + address, buckets
		}
		time.Sleep(100 * time.Millisecond)
	}
	said, _ := os.ReadFile(log.Name())
	t.Fatalf("the server does not listen:\n%s", said)
	return "", ""
}

func build(t testing.TB) string {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	program := filepath.Join(t.TempDir(), "gateway")
	cmd := exec.Command("go", "build", "-o", program, "github.com/versity/versitygw/cmd/versitygw")
	cmd.Dir = filepath.Join(filepath.Dir(here), "module")
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	return program
}
