package ear

import "context"

// Port is a serial port of this machine. It is opened for reading alone: no byte can be written through it.
type Port struct {
	Path  string
	Speed int // bits a second; 0: it is found out, where the system lets it be set
}

// Listen reads what arrives.
func (p Port) Listen(ctx context.Context, _ string, out Out) error {
	speed := p.Speed
	return again(ctx, out, p.Path, func(ctx context.Context) (*readOnly, error) { return p.connect(ctx, out, &speed) })
}
