package sootline_test

// heldInFields are calls that go through a field, which holds a function, a handler or
// a stream: by the caller, what it reaches.
var heldInFields = map[string][]string{
	"(*sootline/internal/web.Server).ServeHTTP": {
		"(*sootline/internal/web.Server).mux", "(*sootline/internal/web.Server).guard",
		"(sootline/internal/store.Sessions).FindCtx", "(sootline/internal/store.Sessions).CommitCtx", "(sootline/internal/store.Sessions).DeleteCtx",
	},
	"(*sootline/internal/web.Server).guard":     {"(*sootline/internal/web.keeper).Write"},
	"(*sootline/internal/api.API).ServeHTTP":    {"sootline/internal/api.New"},
	"(*sootline/internal/listing.archive).open": {"(*sootline/internal/listing.guardedPart).Read"},
	"(*sootline/internal/listing.markup).leave": {"(*sootline/internal/listing.markup).Read"},
	"sootline/internal/listing.newJSONReader":   {"(*sootline/internal/listing.boundedRow).Read"},
}

// makeWorlds are functions of tests that put a world together before the next input:
// what they reach is not given the input.
var makeWorlds = []string{
	"(*sootline/internal/web.fuzzed).renewed",
	"sootline/internal/app.newApp",
	"sootline/internal/app.benchSite",
	"sootline/cmd/sootline.benchWorld",
	"sootline/internal/store.open",
}

// unfuzzed are readers that no target reaches, and why.
var unfuzzed = []struct{ why, names string }{
	{"what is listened to is named by whoever runs the command, or is kept with the site and checked by FuzzPlaces' readers; what comes is read by FuzzLesson, FuzzStyle, FuzzHeard, FuzzMessages, FuzzPlace, FuzzJournal, FuzzDatagram and FuzzLineAnswer", `
		(*sootline/internal/app.ValueHearer).take
		sootline/internal/ear.OpenValues
		(*sootline/internal/ear.subscribing).Write
		(*sootline/cmd/sootline.session).teach
		(sootline/internal/ear.Growing).Listen
		(sootline/internal/ear.Messages).Listen
		(sootline/internal/ear.Port).Listen
		(sootline/internal/ear.Stream).Listen
		sootline/internal/ear.Open
		sootline/internal/ear.again
	`},
	{"names of leavers are read by FuzzLeavers' reader from a file that whoever runs the command names, and then looked up as they are", `
		(*sootline/cmd/sootline.session).sayLeavers
		(*sootline/internal/app.App).Leave
		(*sootline/internal/app.App).LeaverList
		(*sootline/internal/app.App).LookAtLeavers
		(*sootline/internal/app.App).leave
		(*sootline/internal/app.App).leaver
	`},
	{"a flag's number is read by the library of flags, and then only asked whether it is 0", `
		sootline/cmd/sootline.refuseZero
	`},
	{"a notice is written from entries of the log, to an address that whoever serves names", `
		sootline/cmd/sootline.sendMail
	`},
	{"a place of backups is named by whoever runs the command; what lies there is read by FuzzSealed's readers, and put back by those of FuzzBackup", `
		(*sootline/internal/keep.bucket).Open
		(*sootline/internal/keep.bucket).Put
		(*sootline/internal/keep.bucket).Remove
		(*sootline/internal/keep.counter).Read
		(*sootline/internal/keep.failing).Read
		(sootline/internal/keep.folder).Open
		(sootline/internal/keep.folder).Put
		(sootline/internal/keep.folder).Remove
		sootline/internal/keep.Change
		sootline/internal/keep.Decrypt
		sootline/internal/keep.Fetch
		sootline/internal/keep.MakeKey
		sootline/internal/keep.Put
		sootline/internal/keep.ReadKeys
		sootline/internal/keep.cannotWrite
		sootline/internal/keep.isThere
		sootline/internal/keep.notThere
		sootline/internal/keep.syncFolder
		sootline/internal/keep.writeNew
		sootline/internal/keep.writeOpened
		sootline/internal/keep.writeWhole
		(*sootline/cmd/sootline.placeFlags).open
		(*sootline/cmd/sootline.backup).fetch
		(*sootline/internal/app.App).badOrBook
		sootline/internal/app.BadBackup
		(*sootline/cmd/sootline.session).backupFile
		(*sootline/cmd/sootline.session).fetched
		(*sootline/cmd/sootline.session).printDrilled
		(*sootline/cmd/sootline.session).restore
		sootline/internal/app.Aside
		sootline/internal/app.noAside
		(*sootline/internal/store.Store).HashAt
	`},
	{"the name is held to the rule of names, which FuzzName tries; the command line and tests alone call it so", `
		(*sootline/internal/app.App).AddPerson
		(*sootline/internal/app.App).AddPhone
	`},
	{"it hands on what the reader of workbooks asks for, and counts it", `
		(*sootline/internal/app.heedingFile).ReadAt
		(*sootline/internal/listing.boundedReader).ReadAt
	`},
	{"the key is a bound argument of a query, as a hash", `
		(*sootline/internal/store.Tx).Invitation
	`},
	{"it is Import, which a target reaches, by who is certain", `
		(*sootline/internal/app.App).ImportOwn
	`},
	{"it is given the request for how long it lasts, and reads nothing of it", `
		(*sootline/internal/web.Server).shown
	`},
	{"it hands a picture to Upright and KeepPhoto, and a note to AddEntry, which targets reach", `
		(*sootline/internal/app.App).AddPhoto
	`},
	{"it lays out what is printed, and reads nothing", `
		(*sootline/cmd/sootline.session).printPhotos
		(*sootline/cmd/sootline.session).typed
	`},
	{"a command as a whole: what it reads of its flags is in FuzzFlags and FuzzFiles, and what it then does is reached through pages and the API", `
		(*sootline/cmd/sootline.planFlags).wish
		(*sootline/cmd/sootline.loadsTyped).over
		(*sootline/cmd/sootline.supplyTyped).put
		(*sootline/cmd/sootline.radialTyped).put
		(*sootline/internal/app.App).UndoLoads
		sootline/cmd/sootline.forgetLoad
		(*sootline/cmd/sootline.session).answer
		(*sootline/cmd/sootline.session).answerLead
		(*sootline/cmd/sootline.session).demo
		(*sootline/cmd/sootline.session).design
		(*sootline/cmd/sootline.session).readBrief
		(*sootline/cmd/sootline.session).writeDesign
		(*sootline/cmd/sootline.session).judge
		(*sootline/cmd/sootline.session).listSettings
		(*sootline/cmd/sootline.session).loops
		(*sootline/cmd/sootline.session).moment
		(*sootline/cmd/sootline.session).onLoop
		(*sootline/cmd/sootline.session).paper
		(*sootline/cmd/sootline.session).paperWish
		(*sootline/cmd/sootline.session).siteLoops
		(*sootline/cmd/sootline.session).stepDefect
		(*sootline/cmd/sootline.session).take
		(*sootline/cmd/sootline.session).tellStandby
		(*sootline/cmd/sootline.session).verification
		sootline/cmd/sootline.selected
	`},
	{"the answer of who works at a terminal is one line of a buffer; it is compared with yes, or handed to FuzzFlags' readers", `
		(*sootline/cmd/sootline.session).agrees
		(*sootline/cmd/sootline.session).confirm
	`},
	{"it copies standard input into a file, which is then opened as any listing", `
		(*sootline/cmd/sootline.session).handed
		sootline/cmd/sootline.keepInput
	`},
	{"it is given the path of a file by whoever runs the command, and writes, moves or removes it", `
		sootline/cmd/sootline.clearDemo
		(*sootline/cmd/sootline.session).exportArchive
		(*sootline/cmd/sootline.session).exportReadable
		(*sootline/cmd/sootline.session).extractPhoto
		(*sootline/cmd/sootline.session).extractPhotos
		sootline/cmd/sootline.exportTo
		sootline/cmd/sootline.keepSecret
		sootline/cmd/sootline.keepStation
		sootline/cmd/sootline.makeAuthority
		sootline/cmd/sootline.mustBeFree
		sootline/cmd/sootline.openAuthority
		sootline/cmd/sootline.saveProfiles
		sootline/cmd/sootline.writeManuals
		sootline/cmd/sootline.writeWhole
		(*sootline/internal/app.App).Backup
		(*sootline/internal/store.Store).Backup
		(*sootline/internal/store.inFile).backup
		(*sootline/internal/store.inDatabase).backup
		sootline/internal/store.syncFile
	`},
	{"it writes what it is given, and reads nothing of it", `
		(*sootline/cmd/sootline.pager).Read
		(*sootline/cmd/sootline.pager).Write
		(*sootline/cmd/sootline.session).printPlans
		sootline/cmd/sootline.errOther
		sootline/cmd/sootline.noLetter
		sootline/cmd/sootline.printCSV
		sootline/cmd/sootline.printTable
		sootline/cmd/sootline.unknownCommand
		sootline/cmd/sootline.unknownKind
		(*sootline/cmd/sootline.session).showOutcome
		(*sootline/internal/app.App).NoteRestored
		(*sootline/internal/web.handedOut).Write
	`},
	{"the name is a bound argument of a query or compared with others; the command line alone asks so", `
		(*sootline/internal/app.App).NoteChange
	`},
	{"the folder, the server and the sites of an exchange are named by whoever runs the command; what comes from there is a parcel, which FuzzParcel's readers read", `
		(*sootline/cmd/sootline.other).hand
		(*sootline/cmd/sootline.other).post
		(*sootline/cmd/sootline.other).refusal
		(*sootline/cmd/sootline.session).askPassword
		(*sootline/cmd/sootline.session).exchangeIn
		(*sootline/cmd/sootline.session).exchangeWith
		(*sootline/cmd/sootline.session).takeFrom
		(*sootline/internal/app.App).Offer
		sootline/cmd/sootline.badParcel
		sootline/cmd/sootline.clientTrusting
		sootline/cmd/sootline.leave
		sootline/cmd/sootline.turnOf
	`},
	{"it opens an export or a book; FuzzWitness asks what is below it, FuzzBook what a book holds", `
		(*sootline/internal/app.App).VerifyAgainst
	`},
	{"the library of sessions calls the forms with a context", `
		(sootline/internal/store.Sessions).Commit
		(sootline/internal/store.Sessions).Delete
		(sootline/internal/store.Sessions).Find
	`},
}
