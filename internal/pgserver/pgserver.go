// Package pgserver starts a PostgreSQL server of its own, for tests and measurements, where
// Debian's package is installed. It lives as long as the process that started it.
package pgserver

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
)

// running starts a cluster and waits until whoever started it is gone: its standard input
// ends then, also when that was killed. Nothing of it is kept.
const running = `
set -e
trap 'rm -rf "$DIR"' EXIT
"$BIN/initdb" -D "$DIR/data" -k -A trust -U postgres -E UTF8 --locale=C.UTF-8 --no-sync >"$DIR/log" 2>&1 || { cat "$DIR/log"; exit 1; }
"$BIN/pg_ctl" -D "$DIR/data" -w -l "$DIR/log" -o "-k $DIR $SETTINGS" start >>"$DIR/log" 2>&1 || { cat "$DIR/log"; exit 1; }
echo ready
cat >/dev/null
"$BIN/pg_ctl" -D "$DIR/data" -m immediate stop >/dev/null 2>&1
`

// Start starts a cluster with data checksums, and gives its address. Further settings are
// those of the server, as in "-c fsync=off".
func Start(settings ...string) (string, error) {
	bin, err := binaries()
	if err != nil {
		return "", err
	}
	who, err := account()
	if err != nil {
		return "", err
	}
	folder, err := os.MkdirTemp("", "sootline-pg-") // short: a socket's path has 107 bytes at most
	if err != nil {
		return "", err
	}
	if who != nil {
		if err := os.Chown(folder, int(who.Uid), int(who.Gid)); err != nil {
			return "", errors.Join(err, os.RemoveAll(folder))
		}
	}
	usual := []string{"-c listen_addresses='' -c shared_buffers=64MB -c max_connections=500"}
	cmd := exec.Command("/bin/sh", "-c", running) //nolint:noctx // it ends when this process does
	cmd.Dir, cmd.SysProcAttr = folder, &syscall.SysProcAttr{Credential: who, Setpgid: true}
	cmd.Env = append(os.Environ(), "DIR="+folder, "BIN="+bin, "SETTINGS="+strings.Join(append(usual, settings...), " "))
	if err := ready(cmd); err != nil {
		return "", err
	}
	return "postgres://postgres@/postgres?host=" + folder, nil
}

// ready starts the command and waits for its one line.
func ready(cmd *exec.Cmd) error {
	held, err := cmd.StdinPipe() // never written to, and closed when this process ends
	if err != nil {
		return err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	lines := bufio.NewScanner(out)
	if lines.Scan() && lines.Text() == "ready" {
		keep(held)
		return nil
	}
	said := lines.Text()
	for lines.Scan() {
		said += "\n" + lines.Text()
	}
	return fmt.Errorf("the cluster did not start: %s", said)
}

// kept are the ends of pipes that must stay open as long as the process.
var kept struct {
	sync.Mutex
	pipes []io.Closer
}

func keep(pipe io.Closer) {
	kept.Lock()
	defer kept.Unlock()
	kept.pipes = append(kept.pipes, pipe)
}

// binaries finds the newest PostgreSQL where Debian puts it.
func binaries() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", errors.New("there is no /usr/lib/postgresql/*/bin/initdb (apt-get install postgresql)")
	}
	return filepath.Dir(found[len(found)-1]), nil
}

// account is who the server runs as: PostgreSQL refuses root.
func account() (*syscall.Credential, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	who, err := user.Lookup("postgres")
	if err != nil {
		return nil, err
	}
	uid, err := strconv.ParseUint(who.Uid, 10, 32)
	gid, err2 := strconv.ParseUint(who.Gid, 10, 32)
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, errors.Join(err, err2)
}
