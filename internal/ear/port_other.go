//go:build !linux

package ear

import (
	"context"
	"os"
)

// Port is a serial port of this machine. It is opened for reading alone: no byte can be written through it. Its speed is as the
// system has set it.
type Port struct {
	Path  string
	Speed int // bits a second; not set here
}

// Listen reads what arrives.
func (p Port) Listen(ctx context.Context, _ string, out Out) error {
	return again(ctx, out, p.Path, func(context.Context) (*readOnly, error) {
		file, err := os.Open(p.Path)
		if err != nil {
			return nil, err
		}
		return &readOnly{read: file.Read, close: file.Close}, nil
	})
}
