// Package count is the one place where figures of a site are counted: points,
// tests, shares, alarms, readings and defects. Every face, paper and engine that
// shows or uses one of them asks here. docs/methods/counting.md defines each.
//
// A register goes in, figures come out. It knows no faces, files or clock.
package count
