// Package web is the work of the command line for people who would rather look:
// pages made on the server, readable without any script.
//
// routes.go holds every address in one block. A page is a file here with its
// handler and its typed data, a template in page/, and a line in routes.go;
// docs/architecture.md says it in three lines. Handlers return errors; answer.go
// has the one table from their codes to HTTP statuses. Writing goes through the
// use cases of internal/app only.
package web
