// Package api is the work of the pages and of the command line as JSON over HTTP,
// under /api/v1. Its OpenAPI 3.1 document, at /api/v1/openapi.json, is generated
// from the code; docs/formats/api.md tells how to use it.
//
// api.go has how an operation is put together and who may ask; the other files
// hold the operations, by what they are about. The shapes are those of
// internal/shape, shared with the command line's --json. Errors are problem
// details (RFC 9457).
package api
