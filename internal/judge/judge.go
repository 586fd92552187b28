package judge

import (
	"time"
)

type Judge struct {
	on time.Time
}
