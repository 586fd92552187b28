package judge

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// ended is what work panics with when nobody waits for its result any more: half
// of what all points teach is worth nothing. [AssessAgain] makes an error of it.
type ended struct{ cause error }

// shared does n pieces of work on all cores, each core a part of them. It ends
// early, by a panic, where the context ends; and what panics on one of the cores
// panics here, where whoever asked can be told, and does not end the program.
func shared(ctx context.Context, n int, do func(i int)) {
	const least = 64 // fewer are not worth a core
	hands := max(1, min(runtime.GOMAXPROCS(0), n/least))
	fell := make([]any, hands)
	var wg sync.WaitGroup
	for h := range hands {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fell[h] = fmt.Sprintf("%v\n%s", p, debug.Stack())
				}
			}()
			for i := h * n / hands; i < (h+1)*n/hands && ctx.Err() == nil; i++ {
				do(i)
			}
		})
	}
	wg.Wait()
	for _, p := range fell {
		if p != nil {
			panic(p)
		}
	}
	if err := ctx.Err(); err != nil {
		panic(ended{err})
	}
}
