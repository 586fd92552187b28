package listing

import (
	"strings"
	"testing"
)

// TestAreasOfOtherSites: names in a column of buildings that the book does not know are asked about; answered, such rows are put
// aside.
func TestAreasOfOtherSites(t *testing.T) {
	for list, want := range map[string]string{
		"Building,Loop,Addr,Date,Value\nOakfield Mill,1,1,2026-05-12,27\nAnnex,1,2,2026-05-12,30\n":            AskContrary,
		"Gebäude;Schleife;Adresse;Datum;Messwert\nZiegelei;1;1;12.05.2026;27\nAltbau;1;2;12.05.2026;30\n":      AskContrary,
		"Bâtiment;Repère;Date;Valeur\nBriqueterie;1.001;13/05/2026;27\nPrincipal;1.002;13/05/2026;30\n":        AskContrary,
		"Edificio;Punto;Fecha;Lectura\nTejar;1.001;13/05/2026;27\nAnexo;1.002;13/05/2026;30\n":                 AskContrary,
		"Edificio;Punto;Data;Lettura\nFornace;1.001;13/05/2026;27\nTorre;1.002;13/05/2026;30\n":                AskContrary,
		"Gebouw;Punt;Datum;Meetwaarde\nSteenbakkerij;1.001;13-05-2026;27\nToren;1.002;13-05-2026;30\n":         AskContrary,
		"Building,Point,Date,Event\nOakfield Mill,1.001,2026-05-12,cleaned\nAnnex,1.002,2026-05-12,cleaned\n":  AskContrary,
		"Building,Loop,Addr,Date,Value\nMain,1,1,2026-05-12,27\nAnnex,1,2,2026-05-12,30\n":                     "",
		"Building,Loop,Addr,Date,Value\nBlock A,1,1,2026-05-12,27\nB,1,2,2026-05-12,30\n":                      "",
		"Building,Loop,Addr,Date,Value\nQuarry Works,1,1,2026-05-12,27\nQuarry Works 2,1,2,2026-05-12,30\n":    "",
		"Wing,Loop,Addr,Date,Value\nNorth wing,1,1,2026-05-12,27\nSouth wing,1,2,2026-05-12,30\n":              "",
		"Gebäude;Schleife;Adresse;Datum;Messwert\nHaupthaus;1;1;12.05.2026;27\nNeubau Ost;1;2;12.05.2026;30\n": "",
	} {
		known := eightPoints()
		known.AddSite("Quarry Works")
		asked, _ := against(t, known, "a.csv", list, Profile{})
		if asked != want {
			t.Errorf("%q: asked %q", list, asked)
		}
		if want == "" {
			continue
		}
		for answer, rows := range map[ContraryMeant]string{ContraryByPoint: "1 2", ContraryLeft: "2"} {
			asked, got := against(t, known, "a.csv", list, Profile{Contrary: answer})
			var kept []string
			for _, row := range got {
				if !strings.Contains(row, " ") {
					kept = append(kept, row)
				}
			}
			if strings.Join(kept, " ") != rows || asked != "" {
				t.Errorf("%q, answered %s: asked %q, %v", list, answer, asked, got)
			}
		}
	}
}
