package app

import (
	"context"
	"errors"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// What goes wrong at one site is an error that names it and says what can be done; what
// ends all work is not taken for a site's.
func TestForSite(t *testing.T) {
	quarry := store.SiteLine{Name: "Quarry"}
	damage := sootline.Errorf(sootline.Damaged, "put a backup in its place", "a page is lost").Do(sootline.RestoreBackup)
	for name, c := range map[string]struct {
		work func() error
		code sootline.Code
		says string
		uses []sootline.Use
	}{
		"nothing":    {func() error { return nil }, "", "", nil},
		"damage":     {func() error { return damage }, sootline.Damaged, "site Quarry cannot be shown: a page is lost", []sootline.Use{sootline.RestoreBackup, sootline.ExportReadable}},
		"told twice": {func() error { return ForSite(t.Context(), quarry, func() error { return damage }) }, sootline.Damaged, "site Quarry cannot be shown: a page is lost", []sootline.Use{sootline.RestoreBackup, sootline.ExportReadable}},
		"panic":      {func() error { panic("nobody") }, sootline.Unforeseen, "site Quarry cannot be shown: the program fails at what its log holds, which nobody foresaw", []sootline.Use{sootline.ExportLog}},
		"nil":        {func() error { var r *sootline.Register; r.In(nil); return nil }, sootline.Unforeseen, "site Quarry cannot be shown: the program fails at what its log holds, which nobody foresaw", []sootline.Use{sootline.ExportLog}},
	} {
		err := ForSite(t.Context(), quarry, c.work)
		if c.says == "" {
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		var uses []sootline.Use
		for _, way := range sootline.ErrorWays(err) {
			uses = append(uses, way.Use)
		}
		if err == nil || err.Error() != c.says || sootline.ErrorCode(err) != c.code || len(uses) != len(c.uses) || uses[0] != c.uses[0] {
			t.Errorf("%s: %v, of code %q, with %v", name, err, sootline.ErrorCode(err), uses)
		}
		if name == "panic" && !strings.Contains(errors.Unwrap(err).Error(), "trouble_test.go") {
			t.Errorf("it does not say where: %v", errors.Unwrap(err))
		}
	}
	if len(damage.Ways) != 1 {
		t.Errorf("the ways out of the damage itself are changed: %v", damage.Ways)
	}
	ctx, end := context.WithCancel(t.Context())
	if err := ForSite(ctx, quarry, func() error { end(); return errors.New("interrupted") }); !errors.Is(err, context.Canceled) {
		t.Errorf("what nobody waits for any more is told as %v", err)
	}
}
