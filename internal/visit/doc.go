// Package visit says what is due on a site, chooses what one attendance should
// see, and puts it in an order in which it can be walked.
package visit
