package app

import "context"

// latch holds what is made once and shared by all who ask. Where the making ends
// early, the next who asks begins anew; whoever only waits for another goes when
// their own context ends.
type latch[T any] struct{ turn chan *T }

func newLatch[T any]() latch[T] {
	l := latch[T]{make(chan *T, 1)}
	l.turn <- nil
	return l
}

func (l latch[T]) get(ctx context.Context, produce func(context.Context) (T, error)) (got T, err error) {
	var made *T
	select {
	case made = <-l.turn:
	case <-ctx.Done():
		return got, ctx.Err()
	}
	defer func() { l.turn <- made }()
	if made == nil {
		fresh, err := produce(ctx)
		if err != nil {
			return got, err
		}
		made = &fresh
	}
	return *made, nil
}
