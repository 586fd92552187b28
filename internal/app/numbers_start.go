package app

import "sootline/internal/address"

// Start says what is known of the numbers before the first step of the order.
func (o *NumberOrder) Start() address.Start { return address.StartOf(o.Loop.Span, o.Moves) }
