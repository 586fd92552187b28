package listing

import "testing"

// TestOtherSites: a title or a column that names another site than this one is asked; rows of another one are not taken.
func TestOtherSites(t *testing.T) {
	const readings = "Point;Date;Value\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	for text, want := range map[string]string{
		"Site: Brickworks\n" + readings:       AskSite,
		"Objekt: Ziegelei Nord\n" + readings:  AskSite,
		"Chantier : Briqueterie\n" + readings: AskSite,
		"Sitio: Tejar\n" + readings:           AskSite,
		"Sito: Fornace\n" + readings:          AskSite,
		"Site;Brickworks;\n" + readings:       AskSite,
		"Site: Quarry Works\n" + readings:     "",
		"Objekt: QUARRY works\n" + readings:   "",
		"Site;Point;Date;Event\nBrickworks;1.001;2025-09-16;replaced\nBrickworks;1.002;2025-09-16;replaced\n":                         AskSite,
		"Site;Loop;Address;Type;Location\nBrickworks;1;20;Larch;Mezz\nBrickworks;1;21;Larch;Ramp\n":                                   AskSite,
		"Objekt;Schleife;Adresse;Typ;Ort\nZiegelei;1;20;Larch;Halle\nZiegelei;1;21;Larch;Rampe\n":                                     AskSite,
		"Site;Loop;Address;Type;Location\nQuarry Works;1;20;Larch;Mezz\nQuarry Works;1;21;Larch;Ramp\n":                               "",
		"Loop;Address;Type;Site\n1;20;Larch;Mezz\n1;21;Larch;Ramp\n":                                                                  "",
		"Site;Point;Date;Value\nQuarry Works;1.001;2025-09-16;31\nBrickworks;1.002;2025-09-16;29\nQuarry Works;1.003;2025-09-16;30\n": "",
	} {
		if got := blockedBy(t, siteOf("Quarry Works"), "a.csv", text, Profile{}); got != want {
			t.Errorf("%s: asked %q", text, got)
		}
	}
	if got := blockedBy(t, siteOf("Quarry Works"), "a.json", `{"site":"Brickworks","readings":[{"point":"1.001","date":"2025-09-16","value":31},{"point":"1.002","date":"2025-09-16","value":29}]}`, Profile{}); got != AskSite {
		t.Errorf("in a document: asked %q", got)
	}
	two := "Site;Point;Date;Value\nQuarry Works;1.001;2025-09-16;31\nBrickworks;1.002;2025-09-16;29\n"
	for name, want := range map[string]int{"": 1, "Brickworks": 0} {
		table := openBytes(t, "a.csv", []byte(two)).All()[0]
		u, err := siteOf("Quarry Works").Understand(table, Profile{Site: name})
		must(t, err)
		bad := 0
		for _, fault := range u.Records(table) {
			if fault != nil {
				bad++
			}
		}
		if bad != want {
			t.Errorf("this site called %q too: %d rows refused", name, bad)
		}
	}
}
