package papers

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

func issue(t *testing.T, a *app.App, site sootline.ID, kind, format string) *Issued {
	t.Helper()
	f, _ := paper.FindFormat(format)
	issued, err := Issue(context.Background(), a, site, Wish{Kind: kind, On: a.Now()}, f, paper.Sizes()[0])
	if err != nil {
		t.Fatal(err)
	}
	return issued
}

// TestIssuedPaperVerifiesByContent: the very file is known, any other is not, not
// even one that differs in a figure under the same code.
func TestIssuedPaperVerifiesByContent(t *testing.T) {
	ctx := context.Background()
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	for _, format := range []string{"pdf", "html", "xlsx", "csv"} {
		issued := issue(t, a, site, "servicing", format)
		check, err := Verify(ctx, a, site, issued.Code, issued.File)
		if err != nil || check.Same == nil || check.Same.ID != issued.Entry.ID || check.Broken != nil || check.Since != 0 || check.Lines == 0 {
			t.Errorf("%s: %+v, %v", format, check, err)
		}
		forged := bytes.Clone(issued.File)
		forged[len(forged)/2] ^= 1
		if check, err := Verify(ctx, a, site, issued.Code, forged); err != nil || check.Same != nil || len(check.Issued) == 0 {
			t.Errorf("%s: a forged file: %+v, %v", format, check, err)
		}
		if format == "html" && (bytes.Contains(issued.File, []byte(Draft)) || !bytes.Contains(issued.File, []byte(issued.Code))) {
			t.Error("the issued paper says that it is a draft, or has no code")
		}
	}
	r := register(t, a, site)
	if all := Register(r); len(all) != 4 || !strings.Contains(sootline.Say(all[0].Body), "servicing") {
		t.Errorf("the register has %d", len(all))
	}
	if d := makePaper(t, a, site, Wish{Kind: "servicing"}); !strings.Contains(d.AsOf, Draft) {
		t.Errorf("a draft says %q", d.AsOf)
	}
}

// TestIssuedPaperTellsWhenItsRecordChanged: by what speaks of its time, and by
// nothing else.
func TestIssuedPaperTellsWhenItsRecordChanged(t *testing.T) {
	ctx := context.Background()
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	code := issue(t, a, site, "visit", "pdf").Code
	now := today.Add(time.Hour)
	a.Now = func() time.Time { return now }
	later, err := a.AddEntry(ctx, site, app.Note{Point: "1.001", Body: sootline.Cleaned{}})
	if err != nil {
		t.Fatal(err)
	}
	told := func(since, earlier int) {
		t.Helper()
		check, err := Verify(ctx, a, site, code, nil)
		if err != nil || check.Since != since || len(check.Earlier) != earlier || check.Broken != nil {
			t.Errorf("%d since, %d of before, broken %v, %v; want %d, %d", check.Since, len(check.Earlier), check.Broken, err, since, earlier)
		}
	}
	told(1, 0)
	if _, err := a.Withdraw(ctx, site, app.Amendment{Entry: later.ID}); err != nil {
		t.Fatal(err)
	}
	told(2, 0) // a later entry was taken back: nothing to this paper
	issue(t, a, site, "visit", "pdf")
	told(2, 0)
	tested := register(t, a, site).Points()[1].Events
	if _, err := a.Withdraw(ctx, site, app.Amendment{Entry: tested[len(tested)-1].Entry.ID, Why: "it was another point"}); err != nil {
		t.Fatal(err)
	}
	told(3, 1)
}

// TestNoPaperOfADayToComeIsIssued, and a reader issues none.
func TestNoPaperOfADayToComeIsIssued(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	pdf, _ := paper.FindFormat("pdf")
	_, err := Issue(context.Background(), a, site, Wish{Kind: "visit", On: today.AddDate(0, 1, 0)}, pdf, paper.Sizes()[0])
	if sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("%v", err)
	}
	a.Who.Role = sootline.Reader
	_, err = Issue(context.Background(), a, site, Wish{Kind: "visit", On: today}, pdf, paper.Sizes()[0])
	if sootline.ErrorCode(err) != sootline.Forbidden {
		t.Errorf("a reader: %v", err)
	}
	if n := len(register(t, a, site).Issued); n != 0 {
		t.Errorf("%d issued", n)
	}
}
