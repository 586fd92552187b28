package listing

import (
	"slices"
	"strings"
	"testing"
)

// TestWordsUnderADay: the two values of a visit are told apart by a second row of headings as they are by one.
func TestWordsUnderADay(t *testing.T) {
	for words, apart := range map[string][2]string{
		"found,left": {"as found", "as left"}, "vorgefunden,hinterlassen": {"as found", "as left"}, "trouvé,laissé": {"as found", "as left"},
		"antes,después": {"as found", "as left"}, "prima,dopo": {"as found", "as left"}, "voor,na": {"as found", "as left"},
		"day,night": {"by day", "by night"}, "Tag,Nacht": {"by day", "by night"}, "jour,nuit": {"by day", "by night"},
		"día,noche": {"by day", "by night"}, "giorno,notte": {"by day", "by night"}, "dag,nacht": {"by day", "by night"},
	} {
		want := []string{"1.1 2025-11-18 [26] " + apart[1], "1.1 2025-11-18 [39] " + apart[0], "1.1 2026-05-12 [27] " + apart[1], "1.1 2026-05-12 [40] " + apart[0]}
		one, two, _ := strings.Cut(words, ",")
		for _, list := range []string{
			"Loop,Addr,12 May 2026,,18 Nov 2025,\n,," + words + "," + words + "\n1,1,40,27,39,26\n",
			"Loop,Addr," + one + " 12 May 2026," + two + " 12 May 2026," + one + " 18 Nov 2025," + two + " 18 Nov 2025\n1,1,40,27,39,26\n",
		} {
			if got := readingsOf(t, "a.csv", list, Profile{}); !slices.Equal(got, want) {
				t.Errorf("%q: %q", list, got)
			}
		}
	}
}

// TestColumnsUnderOneDay: what the second column under a day is, is asked where no known word says it.
func TestColumnsUnderOneDay(t *testing.T) {
	for _, words := range []string{",,1st,2nd,1st,2nd\n", ",,A,B,A,B\n", ",,smoke,heat,smoke,heat\n", ",,Rauch,Wärme,Rauch,Wärme\n", ",,actual,target,actual,target\n", ""} {
		list := "Loop,Addr,12 May 2026,,18 Nov 2025,\n" + words + "1,1,40,27,39,26\n1,2,41,28,37,25\n"
		if got := readingsOf(t, "a.csv", list, Profile{}); !slices.Equal(got, []string{"asked value"}) {
			t.Errorf("%q: %q", words, got)
		}
		var p Profile
		must(t, p.Answer(AskValue, "3,5"))
		want := []string{"1.1 2025-11-18 [39]", "1.1 2026-05-12 [40]", "1.2 2025-11-18 [37]", "1.2 2026-05-12 [41]"}
		if got := readingsOf(t, "a.csv", list, p); !slices.Equal(got, want) {
			t.Errorf("%q, answered: %q", words, got)
		}
	}
}

// TestWordBeforeADay: a word before a day whose month is a word is of dates, or the cell is no day.
func TestWordBeforeADay(t *testing.T) {
	for text, want := range map[string]bool{
		"Tuesday 12 May 2026": true, "Teusday 12 May 2026": true, "am 12. Mai 2026": true, "le 12 mai 2026": true, "12 May 2026": true, "el 12 de mayo de 2026": true,
		"ordered 12 May 2026": false, "left 12 May 2026": false, "bestellt 12. Mai 2026": false, "commandé 12 mai 2026": false, "ordinato 12 maggio 2026": false, "before 12 May 2026": false,
	} {
		if _, err := ParseDate(text, ""); (err == nil) != want {
			t.Errorf("%s: %v", text, err)
		}
	}
}
