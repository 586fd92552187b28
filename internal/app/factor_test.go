package app

import (
	"errors"
	"testing"
	"time"

	"sootline"
)

// codeStep holds the codes of RFC 6238, appendix B (SHA-1, from memory; the last six of
// its eight digits), each at its time, half a minute off, and not twice.
func TestCodesOfTheStandard(t *testing.T) {
	const secret = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ" // "12345678901234567890"
	for second, code := range map[int64]string{59: "287082", 1111111109: "081804", 1234567890: "005924", 2000000000: "279037"} {
		for off, want := range map[int64]bool{0: true, 30: true, -30: true, 90: false, -90: false} {
			if _, ok := codeStep(secret, code, time.Unix(second+off, 0), -9); ok != want {
				t.Errorf("%s at %d%+d: %v", code, second, off, ok)
			}
		}
		step, _ := codeStep(secret, code[:3]+" "+code[3:], time.Unix(second, 0), -9)
		if _, ok := codeStep(secret, code, time.Unix(second, 0), step); ok {
			t.Errorf("%s is taken twice", code)
		}
	}
}

// Whoever has a second factor begins no session without a code, and no code is used twice.
func TestSecondFactor(t *testing.T) {
	a := newApp(t, "laptop")
	a.Who.From = AtMachine
	now := time.Unix(1234567890, 0)
	a.Now = func() time.Time { return now }
	ctx := t.Context()
	const secret, code, password = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ", "005924", "seven quiet lanterns"
	if err := a.AddPerson(ctx, "A. Tech", sootline.Manager, password); err != nil {
		t.Fatal(err)
	}
	if err := a.SetFactor(ctx, secret, "000000", password); err == nil {
		t.Error("it is set up by a wrong code")
	}
	if err := a.SetFactor(ctx, secret, code, "wrong"); err == nil {
		t.Error("it is set up by a wrong password")
	}
	if err := a.SetFactor(ctx, secret, code, password); err != nil {
		t.Fatal(err)
	}
	p, err := a.SignIn(ctx, "A. Tech", password)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.BeginSession(ctx, p, ""); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a session begins without a code: %v", err)
	}
	if _, err := a.ShowCode(ctx, p, code); err == nil {
		t.Error("the code that set it up is used again")
	}
	now = time.Unix(2000000000, 0)
	shown, err := a.ShowCode(ctx, p, "279037")
	_, began := a.BeginSession(ctx, shown, "")
	if err := errors.Join(err, began); err != nil {
		t.Error(err)
	}
	if _, err := a.ShowCode(ctx, p, "279037"); err == nil {
		t.Error("a code is used twice")
	}
	if err := a.DropFactor(ctx, "a. tech"); err != nil {
		t.Error(err)
	}
	shown, err = a.ShowCode(ctx, p, "")
	if _, began := a.BeginSession(ctx, shown, ""); err != nil || began != nil {
		t.Error(err, began)
	}
}
