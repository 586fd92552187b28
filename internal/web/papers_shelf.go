package web

// paperShelf is papers that belong together.
type paperShelf struct {
	title  string
	papers []paperWords
}

// paperWords says of a paper what it is for. Its kind is one of papers.Kinds.
type paperWords struct{ kind, name, says string }

// paperShelves lists all papers but the labels, which have a form of their own.
func paperShelves() []paperShelf {
	return []paperShelf{
		{"All in one", []paperWords{
			{"pack", "Handover pack", "For handing over a site, in one file with contents and page numbers: last visit with its photos, remedial list, schedule, certificates of commissioning, acceptance and servicing, calculations, false alarms, drifting points, visit list, order of number changes, cards, log book."},
		}},
		{"For the work", []paperWords{
			{"schedule", "Point schedule", "For whoever fits or looks for a device: every point along the cable, with its number and settings; of one loop, or all."},
			{"bench", "Run at the bench", "For the commissioning file: every device of the last run with its number, serial, value and verdict."},
			{"cards", "Setting cards", "To cut out and take up the ladder: how to set each number; of one loop, or all."},
			{"visit-list", "Visit list", "To carry and tick: what the rules of the site ask for and what the readings call for; of one loop, or all."},
			{"order", "Order of number changes", "For the one with the setter: in which order numbers change, so that none is set to one that another is known to carry."},
		}},
		{"What was found and done", []paperWords{
			{"visit", "Visit report", "For the responsible person: on page one what was done and found, what must be done by when, what was not tested, what is still out of use, lines to sign; behind it the annexes. Of the last visit, or the time chosen."},
			{"remedial", "Remedial list", "For whoever pays for it and whoever does it: defects, points to clean now or replace, what is out of use, points not tested within their rule; with room to price, agree and tick off."},
			{"drift", "Dirty and drifting points", "For whoever decides on cleaning and replacing: each with its picture and dates."},
			{"alarms", "False alarms", "For whoever decides what is done about them: rate, limits of the code, what repeats, what to try."},
			{"point", "History of one point", "For whoever asks about a device: everything the book says of it, with its picture."},
			{"log", "Log book", "For whoever asks to see it: every entry, or those of the time chosen."},
		}},
		{"Calculations", []paperWords{
			{"loop", "Loop calculation", "For designer and approver: volts and currents along the cable, with everything that was assumed; of one loop, or all."},
			{"battery", "Battery calculation", "For designer and approver: the standby battery behind the loads of the register, with everything that was assumed."},
		}},
		{"Certificates, filled in as far as the book goes", []paperWords{
			{"installation", "Certificate of installation", "For a system as it was put in: by whom, to what extent, with which tests of its wiring."},
			{"commissioning", "Certificate of commissioning", "For a system that begins its life: what was handed over, and how it was found."},
			{"servicing", "Certificate of inspection and servicing", "For the fire officer, after a service visit."},
			{"modification", "Certificate of modification", "For a system that was changed: what was changed, and that it was tested."},
			{"acceptance", "Certificate of acceptance", "For the one who takes the system over."},
			{"record", "Record of inspection and testing", "The record that NFPA 72 asks for."},
		}},
	}
}
