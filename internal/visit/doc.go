// Package visit says what is due on a site, chooses what one attendance should
// see, and puts it in an order in which it can be walked.
//
//	day.go         days of the site's calendar, and months that end
//	rules.go       the table of rules by standard, edition and clause; which hold on a site
//	attendance.go  the visits that the log tells of
//	diary.go       what was tested, fitted and attended, and when
//	due.go         obligations: what a rule asks for, why, from when to when, and how it stands;
//	               one file a form: every.go, sensitivity.go, life.go, retest.go
//	plan.go        obligations and findings -> the work of a visit of so many minutes
//	knapsack.go    the exact choice, with set-ups shared by an area
//	order.go       the walk: floors, areas, points; tour.go, improve.go the shortest way
//	done.go        what was done of the work planned: one definition for all faces
//	raised.go      which alarms were tests, and which are asked
//	walk.go        a walk test by one person: activations expected and seen
//	sheet.go       a round as a workbook; calendar.go last days as an iCalendar feed
//
// Time is an argument, and nothing is drawn at random. What judge finds comes in
// as plain data ([Finding]). Sources, definitions and outside checks are in
// docs/methods/visit.md.
package visit
