package lines

import (
	"fmt"
	"strings"
)

// rooms are invented places. Some hold the words of events, of zones and loops, or what looks like a time.
var rooms = map[string]string{
	"en": "Kitchen|Boiler room|Alarm store|Test laboratory|Corridor by loop 2|Fault desk|Plant 07:30 shift|Stair zone 4|Reset hall|Store L1|" +
		"Dock 12/04|Attic|Sounders off room|Archive disabled toilet|Silence room",
	"de": "Küche|Heizraum|Alarmzentrale|Prüfstand|Flur Süd|Störungsannahme|Halle 7, Tor|Treppe Gruppe 4|Büro|Gerätelager|" +
		"Testküche|Dachboden|Raum 12.04.|Schleife Nord|Spülküche",
	"fr": "Chaufferie|Cuisine été|Local alarme|Salle d'essai|Couloir zone 4|Réserve|Atelier 12h30|Escalier|Entrée|Quai 3|" +
		"Grenier|Local boucle 2|Bureau des dérangements|Vestiaire hors service|Dépôt",
	"es": "Cocina|Caldera|Sala de alarma|Almacén|Pasillo zona 4|Taller 07:30|Escalera|Baño|Muelle 12|Archivo|Desván|" +
		"Lazo norte|Sala de prueba|Oficina de averías|Señalización",
	"it": "Cucina|Caldaia|Locale allarme|Sala prova|Corridoio zona 4|Officina 07.30|Scala|Attività|Banchina 12|Archivio|" +
		"Soffitta|Anello nord|Ufficio guasti|Deposito escluso|Città",
	"nl": "Keuken|Ketelhuis|Alarmkamer|Testruimte|Gang zone 4|Hal 07:30|Trap|Reünie|Kade 12|Archief|Zolder|Lus noord|" +
		"Storingsdienst|Magazijn uit|Coördinatie",
}

// place gives the text of a point: no two of a site are alike.
func place(tongue string, i int) string {
	names := strings.Split(rooms[tongue], "|")
	if i < len(names) && i%2 == 0 {
		return names[i]
	}
	return fmt.Sprintf("%s %d", names[i%len(names)], i/len(names)+1)
}

// troubles are texts of faults that have no point.
var troubles = map[string]string{
	"en": "Mains supply|Battery low|Earth leakage|Loop 2 open", "de": "Netz|Batterie|Erdschluss|Schleife 2 offen",
	"fr": "Secteur|Batterie|Défaut de terre|Boucle 2 ouverte", "es": "Red|Batería|Derivación|Lazo 2 abierto",
	"it": "Rete|Batteria|Dispersione|Anello 2 aperto", "nl": "Netspanning|Accu|Aardfout|Lus 2 open",
}

// remarks are what panels print that is no event of a point. $ is the panel's day and time; such a remark looks like an
// event to whoever does not look at its word.
var remarks = map[string]string{
	"en": "PAPER LOW|$ DAILY REPORT: 0 ALARMS, 2 FAULTS, 1 DISABLED|$ USER 2 LOGGED ON|SELF CHECK DONE|$ PRINTER ON LINE",
	"de": "PAPIER ENDE|$ TAGESBERICHT: 0 ALARME, 2 STOERUNGEN|$ BENUTZER 2 ANGEMELDET|SELBSTTEST OK|$ DRUCKER BEREIT",
	"fr": "FIN DE PAPIER|$ RAPPORT DU JOUR: 0 ALARME, 2 DERANGEMENTS|$ UTILISATEUR 2|AUTOTEST OK|$ IMPRIMANTE OK",
	"es": "FIN DE PAPEL|$ RESUMEN: 0 ALARMAS, 2 AVERIAS|$ USUARIO 2|AUTOTEST OK|$ IMPRESORA OK",
	"it": "FINE CARTA|$ RAPPORTO: 0 ALLARMI, 2 GUASTI|$ UTENTE 2|AUTOTEST OK|$ STAMPANTE OK",
	"nl": "PAPIER OP|$ DAGRAPPORT: 0 ALARMEN, 2 STORINGEN|$ GEBRUIKER 2|ZELFTEST OK|$ PRINTER OK",
}
