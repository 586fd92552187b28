// Package papers fills papers from a site's log: schedules, reports, certificates
// and the handover pack. It asks the use cases of app for what it shows and gives
// typed documents, which package paper writes.
package papers
