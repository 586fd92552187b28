package app

import (
	"sootline/internal/address"
	"sootline/internal/judge"
	"sootline/internal/visit"
)

// The words of answers, for the faces, which do not know the engines: what is to
// be done to a point, how its reading lies, how a number of a loop stands, and
// how far an obligation is.
const (
	ReadFirst    = judge.Read
	LookAgain    = judge.LookAgain
	CleanNow     = judge.CleanNow
	CleanAtVisit = judge.CleanAtVisit
	Replace      = judge.Replace
	Leave        = judge.Leave

	Below     = judge.Below
	Inside    = judge.Inside
	Above     = judge.Above
	NoBand    = judge.NoBand
	NoReading = judge.NoReading

	NumberFree     = address.Free
	NumberTaken    = address.Taken
	NumberClashing = address.Clashing
	NumberReserved = address.Reserved
	NumberUnset    = address.UnsetOne

	Met     = visit.Met
	DueNow  = visit.Due
	Overdue = visit.Overdue
)

// DueState says how far an obligation is.
type DueState = visit.State

// NumberStanding says how a number of a loop stands.
type NumberStanding = address.Standing
