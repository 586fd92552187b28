package sootline

import "testing"

func TestProperName(t *testing.T) {
	for text, want := range map[string]string{
		" Mara  Chief ": "Mara Chief", "Завод ABB": "Завод ABB", "Ünal O’Brien-Œuf": "Ünal O’Brien-Œuf", "東京 ビル A": "東京 ビル A",
		"": "", " ": "", "a\nb": "", "a\x1b[31mb": "", "a\u202eb": "", "a\u200bb": "", "a\u0085b": "", "\xff": "", "Т\u0069m": "", "ΑBC": "", "very long name": "",
	} {
		got, err := ProperName("site", text, 16)
		if text == "very long name" {
			got, err = ProperName("site", text, 5)
		}
		if got != want || (err == nil) != (want != "") {
			t.Errorf("%q gives %q, %v", text, got, err)
		}
	}
	if name, err := PersonName("А. Tech"); err == nil {
		t.Errorf("a Cyrillic letter before Latin ones gives %q", name)
	}
}

func TestShown(t *testing.T) {
	for text, want := range map[string]string{
		"plain\ttext\n": "plain\ttext\n", "é東": "é東", "\x1b[2Jgone": `\x1b[2Jgone`, "a\rb": `a\x0db`, "\u009b2J": `\x9b2J`, "a\u202eb": `a\u202eb`, "\x7f": `\x7f`, "\xff\xfe": `\xff\xfe`, "\a": `\x07`,
	} {
		if got := Shown(text); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
}
