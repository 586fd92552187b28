package listings

import "strings"

// language is how one language writes headings, months, words and decimals.
type language struct {
	name   string
	at     int // its place in the tables of words
	comma  bool
	months [12]string
	short  [12]string
	dates  []string // layouts of days, in the time package's spelling
}

// languages lists the six. Dates are written with month names of the language.
func languages() []*language {
	return []*language{
		{
			"English", 0, false,
			months("January February March April May June July August September October November December"),
			months("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"),
			[]string{"2006-01-02", "02/01/2006", "2 Jan 2006", "2 January 2006", "02-Jan-2006", "01/02/2006"},
		},
		{
			"German", 1, true,
			months("Januar Februar März April Mai Juni Juli August September Oktober November Dezember"),
			months("Jan Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez"),
			[]string{"02.01.2006", "2.1.2006", "02.01.06", "2006-01-02", "2. January 2006"},
		},
		{
			"French", 2, true,
			months("janvier février mars avril mai juin juillet août septembre octobre novembre décembre"),
			months("janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc."),
			[]string{"02/01/2006", "2006-01-02", "2 January 2006", "02.01.2006"},
		},
		{
			"Spanish", 3, true,
			months("enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre"),
			months("ene feb mar abr may jun jul ago sep oct nov dic"),
			[]string{"02/01/2006", "2006-01-02", "2 de January de 2006", "02-01-2006"},
		},
		{
			"Italian", 4, true,
			months("gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre"),
			months("gen feb mar apr mag giu lug ago set ott nov dic"),
			[]string{"02/01/2006", "2006-01-02", "2 January 2006", "02.01.2006"},
		},
		{
			"Dutch", 5, true,
			months("januari februari maart april mei juni juli augustus september oktober november december"),
			months("jan feb mrt apr mei jun jul aug sep okt nov dec"),
			[]string{"02-01-2006", "2006-01-02", "2 January 2006", "02/01/2006"},
		},
	}
}

func months(text string) (all [12]string) {
	copy(all[:], strings.Fields(text))
	return all
}

// spellings gives the words of a concept in a language, the usual one first.
func (l *language) spellings(concept string) []string {
	all, ok := concepts[concept]
	if !ok {
		panic("listings: no words for " + concept)
	}
	return strings.Split(strings.Split(all, "|")[l.at], ",")
}

// concepts are the words of headings and cells: by concept the six languages in order, each with its synonyms.
// They are what the trade at large says (common practice, no source).
var concepts = map[string]string{
	"panel":    "Panel,Control panel|Zentrale,Anlage|Centrale|Central,Panel|Centrale|Centrale,Paneel",
	"loop":     "Loop,Loop no.,Lp|Schleife,Ring,Ringleitung|Boucle,Boucle n°|Lazo,Bucle|Anello,Loop|Lus,Ring",
	"address":  "Address,Addr.,Device address|Adresse,Adr.|Adresse,Adr.|Dirección,Dir.|Indirizzo,Ind.|Adres,Adr.",
	"point":    "Point,Point ref.,Reference|Punkt,Referenz|Point,Référence|Punto,Referencia|Punto,Riferimento|Punt,Referentie",
	"type":     "Type,Device,Device type,Detector type|Typ,Gerätetyp,Meldertyp|Type,Type d'appareil|Tipo,Tipo de detector|Tipo,Tipo di rivelatore|Type,Meldertype",
	"zone":     "Zone,Zone no.|Zone,Meldebereich|Zone,Zone n°|Zona,Zona n.º|Zona,Zona n.|Zone,Groep",
	"place":    "Location,Where fitted,Place|Ort,Einbauort,Standort|Emplacement,Lieu|Ubicación,Lugar|Ubicazione,Posizione|Locatie,Plaats",
	"serial":   "Serial,Serial no.,S/N|Seriennummer,Serien-Nr.|N° de série,Numéro de série|N.º de serie,Número de serie|N. di serie,Numero di serie|Serienummer,Serienr.",
	"metres":   "Cable (m),Cable from previous (m)|Kabel (m),Kabel vom vorigen (m)|Câble (m),Câble depuis le précédent (m)|Cable (m),Cable desde el anterior (m)|Cavo (m),Cavo dal precedente (m)|Kabel (m),Kabel vanaf vorige (m)",
	"date":     "Date,Date read,Read on|Datum,Gelesen am|Date,Relevé le|Fecha,Leído el|Data,Letto il|Datum,Gelezen op",
	"tested":   "Date,Tested on|Datum,Geprüft am|Date,Essayé le|Fecha,Probado el|Data,Provato il|Datum,Getest op",
	"time":     "Time|Uhrzeit|Heure|Hora|Ora|Tijd",
	"value":    "Value,Analogue value,Reading,Resting value|Wert,Analogwert,Ruhewert|Valeur,Valeur analogique,Valeur de repos|Valor,Valor analógico,Lectura|Valore,Valore analogico,Lettura|Waarde,Analoge waarde,Rustwaarde",
	"remark":   "Remark,Comment,Notes|Bemerkung,Anmerkung|Remarque,Observation|Observación,Nota|Nota,Osservazione|Opmerking,Notitie",
	"result":   "Result,Test result,Function test|Ergebnis,Prüfergebnis|Résultat,Résultat de l'essai|Resultado,Resultado de la prueba|Esito,Esito della prova|Resultaat,Testresultaat",
	"ok":       "ok,passed,OK|i.O.,bestanden,ok|ok,conforme|ok,correcto|ok,superata|ok,geslaagd",
	"bad":      "failed|nicht bestanden|échec|fallo|non superata|niet geslaagd",
	"cause":    "Cause,Reason|Ursache,Grund|Cause,Motif|Causa,Motivo|Causa,Motivo|Oorzaak,Reden",
	"category": "Category,Kind of alarm|Kategorie,Art des Alarms|Catégorie,Genre d'alarme|Categoría,Clase de alarma|Categoria,Genere di allarme|Categorie,Soort alarm",
	"attended": "Fire service attended,Fire brigade came|Feuerwehr kam,Feuerwehr vor Ort|Pompiers venus,Intervention des pompiers|Acudieron los bomberos,Bomberos presentes|Intervento dei vigili del fuoco,Vigili del fuoco intervenuti|Brandweer gekomen,Brandweer ter plaatse",
	"event":    "Event,What happened|Ereignis,Was geschah|Événement,Ce qui s'est passé|Evento,Qué ocurrió|Evento,Che cosa è successo|Gebeurtenis,Wat er gebeurde",
	"found":    "As found,Found|Vorgefunden,Wert vorgefunden|Trouvé,Valeur trouvée|Encontrado,Valor encontrado|Trovato,Valore trovato|Aangetroffen,Aangetroffen waarde",
	"left":     "As left,Left|Hinterlassen,Wert hinterlassen|Laissé,Valeur laissée|Dejado,Valor dejado|Lasciato,Valore lasciato|Achtergelaten,Achtergelaten waarde",
	"before":   "Before cleaning,Before|Vor Reinigung,Vorher|Avant nettoyage,Avant|Antes de limpieza,Antes|Prima della pulizia,Prima|Voor reiniging,Voor",
	"after":    "After cleaning,After|Nach Reinigung,Nachher|Après nettoyage,Après|Después de limpieza,Después|Dopo la pulizia,Dopo|Na reiniging,Na",
	"day mode": "Day value,Value by day|Tagwert,Wert Tag|Valeur de jour,Valeur jour|Valor de día,Valor día|Valore diurno,Valore giorno|Dagwaarde,Waarde dag",
	"night":    "Night value,Value by night|Nachtwert,Wert Nacht|Valeur de nuit,Valeur nuit|Valor de noche,Valor noche|Valore notturno,Valore notte|Nachtwaarde,Waarde nacht",
	"cleaned":  "Cleaned|Gereinigt|Nettoyé|Limpiado|Pulito|Gereinigd",
	"yes":      "yes,Y|ja,J|oui|sí|sì|ja",
	"no":       "no,N|nein,N|non|no|no|nee",

	"spare":       "SPARE,Spare|RESERVE,frei|RÉSERVE,libre|RESERVA,libre|RISERVA,libero|RESERVE,vrij",
	"not fitted":  "not fitted,NOT FITTED|nicht montiert,nicht vorhanden|non monté,non installé|no montado,no instalado|non montato,non installato|niet gemonteerd,niet aanwezig",
	"gone":        "REMOVED,removed|ENTFERNT,entfernt|SUPPRIMÉ,retiré|RETIRADO,retirado|RIMOSSO,rimosso|VERWIJDERD,verwijderd",
	"total":       "Total|Summe|Total|Total|Totale|Totaal",
	"last alarm":  "Last alarm|Letzter Alarm|Dernière alarme|Última alarma|Ultimo allarme|Laatste alarm",
	"warranty":    "Warranty until|Garantie bis|Garantie jusqu'au|Garantía hasta|Garanzia fino al|Garantie tot",
	"next":        "Next service|Nächste Wartung|Prochain entretien|Próximo mantenimiento|Prossima manutenzione|Volgend onderhoud",
	"mode":        "Mode|Modus|Mode|Modo|Modo|Modus",
	"led":         "LED blink|LED blinkt|Clignotement LED|Parpadeo LED|Lampeggio LED|LED knippert",
	"sensitivity": "Sensitivity|Empfindlichkeit|Sensibilité|Sensibilidad|Sensibilità|Gevoeligheid",
	"row":         "No.,Item|Lfd. Nr.|N°,Ligne|N.º|N.|Nr.",
	"sub":         "Sub-address,Channel|Unteradresse,Kanal|Sous-adresse,Voie|Subdirección,Canal|Sottoindirizzo,Canale|Subadres,Kanaal",
	"day":         "Day|Tag|Jour|Día|Giorno|Dag",
	"month":       "Month|Monat|Mois|Mes|Mese|Maand",
	"year":        "Year|Jahr|Année|Año|Anno|Jaar",
	"number":      "Address found,Number found|Adresse vorgefunden,Vorgefundene Adresse|Adresse trouvée|Dirección encontrada|Indirizzo trovato|Aangetroffen adres",
	"detector":    "Zone/Device,Zone/Detector|Gruppe/Melder,Meldergruppe/Melder|Zone/Détecteur|Zona/Detector|Zona/Rivelatore|Groep/Melder",
	"crossed":     "Address/Loop|Adresse/Schleife|Adresse/Boucle|Dirección/Lazo|Indirizzo/Anello|Adres/Lus",
	"nested":      "Loop.Address.Sub-address|Schleife.Adresse.Unteradresse|Boucle.Adresse.Sous-adresse|Lazo.Dirección.Subdirección|Anello.Indirizzo.Sottoindirizzo|Lus.Adres.Subadres",

	"name":    "Type,Name of type|Typ,Bezeichnung|Type,Nom du type|Tipo,Nombre del tipo|Tipo,Nome del tipo|Type,Naam van type",
	"kind":    "Kind,Principle|Art,Prinzip|Genre,Principe|Clase,Principio|Genere,Principio|Soort,Principe",
	"low":     "Low limit,Lowest|Untergrenze,Unterer Grenzwert|Limite basse,Minimum|Límite inferior,Mínimo|Limite inferiore,Minimo|Ondergrens,Minimum",
	"high":    "High limit,Highest|Obergrenze,Oberer Grenzwert|Limite haute,Maximum|Límite superior,Máximo|Limite superiore,Massimo|Bovengrens,Maximum",
	"trigger": "Alarm level,Alarm at|Alarmwert,Alarm bei|Seuil d'alarme,Alarme à|Umbral de alarma,Alarma a|Soglia di allarme,Allarme a|Alarmdrempel,Alarm bij",

	"smoke":      "smoke|Rauch|fumée|humo|fumo|rook",
	"heat":       "heat|Wärme|chaleur|calor|calore|warmte",
	"multi":      "multi|Mehrfach|multicritère|multicriterio|multicriterio|multi",
	"gas":        "gas|Gas|gaz|gas|gas|gas",
	"call point": "call point|Handmelder|déclencheur manuel|pulsador|pulsante|handmelder",
	"module":     "module|Modul|module|módulo|modulo|module",

	"test":     "tested|geprüft|essayé|probado|provato|getest",
	"clean":    "cleaned|gereinigt|nettoyé|limpiado|pulito|gereinigd",
	"fault":    "fault|Störung|dérangement|avería|guasto|storing",
	"disable":  "disabled|abgeschaltet|mis hors service|desconectado|escluso|uitgeschakeld",
	"restore":  "restored|wieder eingeschaltet|remis en service|reconectado|ripristinato|weer ingeschakeld",
	"unwanted": "unwanted|unerwünscht|intempestive|no deseada|indesiderato|ongewenst",
	"equip":    "equipment|Geräteausfall|matériel|equipo|apparecchiatura|apparatuur",
	"malice":   "malicious|böswillig|malveillante|malintencionada|doloso|kwaadwillig",
	"intent":   "good intent|gute Absicht|bonne intention|buena intención|buona fede|goede bedoeling",
	"cooking":  "cooking|Kochen|cuisson|cocina|cottura|koken",
	"steam":    "steam|Dampf|vapeur|vapor|vapore|stoom",
	"dust":     "dust|Staub|poussière|polvo|polvere|stof",
	"dirty":    "dirty|verschmutzt|sale|sucio|sporco|vuil",

	"schedule": "Schedule of devices|Liste der Geräte|Liste des appareils|Lista de equipos|Elenco degli apparecchi|Lijst van apparaten",
	"values":   "Readings|Messwerte|Relevé des valeurs|Lecturas|Letture|Metingen",
	"events":   "Events|Ereignisse|Événements|Eventos|Eventi|Gebeurtenissen",
	"alarms":   "Alarms|Alarme|Alarmes|Alarmas|Allarmi|Alarmen",
	"checks":   "Function tests|Funktionsprüfung|Essais de fonctionnement|Pruebas de funcionamiento|Prove di funzionamento|Functietests",
	"types":    "Types of device|Gerätetypen|Types d'appareil|Tipos de equipo|Tipi di apparecchio|Typen apparaat",
	"cover":    "Prepared for the owner of the building|Erstellt für den Betreiber|Établi pour l'exploitant|Preparado para el titular|Preparato per il gestore|Opgesteld voor de gebruiker",
	"page":     "Page|Seite|Page|Página|Pagina|Pagina",
	"read of":  "Readings of|Messwerte vom|Relevé du|Lecturas del|Letture del|Metingen van",
	"printed":  "Printed|Gedruckt|Imprimé|Impreso|Stampato|Afgedrukt",
	"foot":     "End of list|Ende der Liste|Fin de la liste|Fin de la lista|Fine dell'elenco|Einde van de lijst",
	"note":     "Not all rooms were open on the day of the visit.|Nicht alle Räume waren zugänglich.|Tous les locaux n'étaient pas accessibles.|No todos los locales estaban abiertos.|Non tutti i locali erano accessibili.|Niet alle ruimten waren toegankelijk.",
	"quarter":  "Q|Q|T|T|T|K",
	"draft":    "draft|Entwurf|brouillon|borrador|bozza|concept",
	"rooms":    "Corridor,Plant room,Office,Stairs,Store,Kitchen,Hall,Workshop|Flur,Technikraum,Büro,Treppe,Lager,Küche,Halle,Werkstatt|Couloir,Local technique,Bureau,Escalier,Réserve,Cuisine,Hall,Atelier|Pasillo,Sala técnica,Oficina,Escalera,Almacén,Cocina,Vestíbulo,Taller|Corridoio,Locale tecnico,Ufficio,Scala,Deposito,Cucina,Atrio,Officina|Gang,Technische ruimte,Kantoor,Trap,Magazijn,Keuken,Hal,Werkplaats",
}
