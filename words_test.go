package sootline

import "testing"

// A place or a source may begin with a letter of two bytes, and a text with what is no letter.
func TestSentencesBeginWithAnyLetter(t *testing.T) {
	for text, want := range map[string]string{"": "", "a break": "A break.", "übergang 2: gone": "Übergang 2: gone.", "école": "École.", "3 points": "3 points.", "\xffx": "\xffx."} {
		if got := AsSentence(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}
