// Package sootline is the vocabulary of a fire-detection loop's life: sites,
// points, the units fitted at them, type sheets with their bands, readings, and
// above all the log book.
//
// A site is its log book: a sequence of entries that is only ever added to.
// [Fold] computes from it the [Register], which says what is where, what was
// read and what was done as of an instant. Nothing can be lost by a correction,
// which is an entry naming the one it corrects; two stations that worked apart
// are brought together by [Merge], the union of their entries; and each station
// numbers and chains its entries ([Chain]), so that an altered or missing line
// is found.
//
// The package imports the standard library only, does no I/O and reads no
// clock. The rest of the house stands on it:
//
//	sootline/        this vocabulary
//	cmd/sootline/    the command line: one file a command; wires everything
//	internal/
//	  robust/        statistics: slices in, numbers out; knows nothing of fire
//	  judge/         readings -> a verdict, a drift, a forecast, what to do
//	  address/       the numbers of a loop: what is wrong with them
//	  check/         what else is wrong on the register: types, ages, silence
//	  listing/       listings of any shape -> rows, and what was understood
//	  month/         the names of the months
//	  live/          lines that panels print: learned from marked ones, then read
//	  ear/           what is listened to: ports, streams, files; a journal of what came
//	  store/         the book: log pages on database/sql, in a file or in PostgreSQL
//	  exchange/      what two books hand one another: ranges held, lines lacking
//	  locks/         locks of files, which each system has in its own way
//	  keep/          copies of a file elsewhere: names, places, encrypted, thinned
//	  app/           use cases: one transaction each, calling the engines
//	  web/           the same work in a browser: routes.go, a file a page, page/*.html
//	  api/           the same as JSON over HTTP, with its OpenAPI document
//	  shape/         the JSON of answers, for the command line and the API
//	  count/         figures: points, tests, shares, alarms, defects
//	  visit/         what is due, what to see at a visit, in which order
//	  nuisance/      unwanted alarms: rates, limits, what repeats, what helped
//	  papers/        what stands on each paper: app and engines asked, documents out
//	  paper/         a typed document -> PDF, XLSX, CSV, HTML; labels
//	  fault/         a fault on a loop, found step by step; on the circuit's words
//	  circuit/       the loop as a DC network; the standby battery
//	  design/        loops laid through a building before there is a register
//	  chart/         one drawing code of each picture, for terminal, page and paper
//	  demo/          an invented site and its years, with planted truths
//	  attack/        the built program broken on purpose, from outside
//	  gateway/       object storage on this machine, to try backups with; tests alone import it
//	  pgserver/      a PostgreSQL server of its own, to measure and try books with
//	  pgtest/        a book for a test: a file, or a schema of such a server; tests alone import it
//	  fuzzing/       what every fuzz target asks: how much a reader may allocate
//	  worlds/        sites, listings, rights and tamperings of other minds, which score the engines; imports nothing of them but in firm
//
// Imports run one way:
//
//	cmd -> {web, ear} -> {api, papers} -> app -> {store, exchange, keep, listing, live, judge, address, check, visit, nuisance, circuit, fault, design, paper, demo} -> count, chart, robust, month, sootline
//
// The rooms in braces do not import each other, save that fault takes its loop from circuit; arch_test.go holds the table.
package sootline
