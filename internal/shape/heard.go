package shape

import "time"

// Source is a source that is listened to, and what became of what was heard last.
type Source struct {
	Name          string          `json:"name"`
	Last          *time.Time      `json:"last_heard,omitempty"` // in the site's clock; nil: nothing was heard yet
	Taught        bool            `json:"taught"`
	Lines         int             `json:"lines"` // heard last
	Read          int             `json:"read"`  // of them, records that are read
	NotUnderstood []NotUnderstood `json:"not_understood"`
}

// NotUnderstood is why lines were kept as heard, how many, and the last of them.
type NotUnderstood struct {
	Why   string `json:"why"`
	Lines int    `json:"lines"`
	Last  string `json:"last"`
}
