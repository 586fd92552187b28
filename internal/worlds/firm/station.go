package firm

// Fact is what a station writes: the value of something that a site has one of, such as
// the number of a point. A later fact of the same key replaces the one before.
type Fact struct{ Key, Value string }

// Held is a line of a log as an export has it.
type Held struct {
	ID      string
	Station string // under which it was written; another one after a restore
	Seq     int64
	Text    string // the whole line, byte for byte
}

// Conflict is a fact that was changed in two places or more, with the entries that stand
// beside one another: each was written without any of the others in sight.
type Conflict struct {
	Key     string
	Entries []string // ids
}

// Recorder is the log that a station keeps of one site.
type Recorder interface {
	// Write adds an entry that says a fact, and names the entry that it replaces. Where
	// the station shows a conflict of the key, settles is set, and the entry replaces all of them.
	Write(f Fact, settles bool) (id string, err error)
	// Lines gives all that the station holds of what Write wrote, here or elsewhere.
	// Entries that the program adds by itself, such as pins, are left out.
	Lines() ([]Held, error)
	// Conflicts gives the findings "changed in two places".
	Conflicts() ([]Conflict, error)
}

// Exchanger moves lines from one station to another, in three steps.
type Exchanger interface {
	// Offer says which ranges the station holds.
	Offer() ([]byte, error)
	// Want answers the offer of another station with what this one lacks.
	Want(offer []byte) ([]byte, error)
	// Send packs what another station wants, in one packet or several.
	Send(want []byte) ([][]byte, error)
	// Receive takes a packet in. One that was cut, altered, or came before what it
	// follows may be refused; what is kept of it is kept as it was written.
	Receive(packet []byte) error
}

// Keeper is a station's backup.
type Keeper interface {
	Backup() ([]byte, error)
	// Restore puts a backup in the place of what the station holds.
	Restore(backup []byte) error
}

// Station is a book that takes part in exchange: a laptop, a phone, a server.
type Station interface {
	Recorder
	Exchanger
	Keeper
}
