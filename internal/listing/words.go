package listing

import (
	"strings"
	"unicode"

	"sootline/internal/month"

	"golang.org/x/text/unicode/norm"
)

// The words of general language that headings and cells are recognised by, in English, German, French,
// Spanish, Italian and Dutch, folded as by [fold]. A line is a field and its words between commas.
const headingWords = `
point: point, point reference, punt, point ref, reference, ref, point id, device id, id, device, detector, melder, punkt, meldepunkt, messstelle, melder id, repere, detecteur, element, punto, referencia, dispositivo, rivelatore, riferimento, referenz, referentie, apparaat, device reference, detector reference
panel: panel, control panel, panel no, anlage, bma, bmz, ecs, cie, centrale de detection, central de incendios, centrale antincendio, brandmeldcentrale, panel number, zentrale, centrale, central, centralita, pannello, paneel, tableau
loop: loop, loop number, lp, ringlinie, loopnr, detection loop, schlf, meldelinie, meldeschleife, bcl, ring, ringleitung, schleife, boucle, lazo, bucle, anello, lus, line, linie, linea, ligne, lijn
address: teilnehmer, teilnehmernummer, teilnehmeradresse, ringteilnehmer, deelnemer, address, addr, adr, dir, ind, addres, geratadresse, gerateadresse, melderadresse, adresse, direccion, indirizzo, adres, device address, detector address, loop address, point address, address number, device number, detector number, point number, meldernummer, numero de detecteur, numero di rivelatore
wanted number: wanted number, wanted, wanted address, number wanted, address wanted, new address, new number, new addr, new no, new, planned address, planned number, planned, target address, target number, shall be, shall, to be, to be set, to be set to, set to be, future address, soll, soll adresse, solladresse, neue adresse, neue nummer, neu, geplante adresse, nouvelle adresse, nouveau numero, adresse prevue, adresse souhaitee, nueva direccion, direccion nueva, direccion prevista, nuovo indirizzo, indirizzo nuovo, indirizzo previsto, nieuw adres, gepland adres
number as it stands: old address, old number, old addr, old, current address, current number, present address, present number, existing address, existing number, address now, number now, now, is, as it is, ist, ist adresse, istadresse, alte adresse, alte nummer, alt, ancienne adresse, ancien numero, adresse actuelle, direccion actual, direccion antigua, indirizzo attuale, vecchio indirizzo, huidig adres, oud adres
set number: set address, address set, set number, number set, address setting, programmed address, assigned address, allocated address, configured address, eingestellte adresse, programmierte adresse, zugewiesene adresse, adresse programmee, adresse attribuee, direccion programada, direccion asignada, indirizzo programmato, indirizzo assegnato, ingesteld adres, toegewezen adres
number: n, lfd nr, no, nr, num, number, numero, nummer, nbr
type: type, typ, tipo, gerateart, geratetype, apparaattype, meldertype, tipo de detector, tipo de equipo, tipo di rivelatore, tipo di apparecchio, modell nr, part, part number, part no, order code, device type, detector type, geratetyp, meldertyp, type d appareil, new type, type new, type fitted, neuer typ, typ neu, nouveau type, tipo nuevo, nuevo tipo, nuovo tipo, tipo nuovo, nieuw type, type de detecteur, tipo de dispositivo, tipo di dispositivo, modele, model, modell, modelo, modello, type sheet, article, artikel
device: kind, kind of device, category, principe, principio, clase de equipo, soort apparaat, detection principle, art, melderart, class, sort, soort, categorie, kategorie, categoria, clase, classe, genre, principle, prinzip, technology
zone: zone, zona, zone number, detection zone, meldebereich, meldezone, meldegruppe, zone de detection, zona de deteccion, zona di rivelazione, detectiezone, meldzone, zn, meldergruppe, gruppe, group, grupo, gruppo, groupe, groep
area: area, area or floor, building, wing, section, bereich, gebaude, batiment, edificio, gebouw
floor: floor, floor number, floor level, storey, story, level, stockwerk, etage, geschoss, ebene, niveau, planta, piso, nivel, piano, livello, verdieping, bouwlaag
location: location, location text, where, place fitted, sited at, site, mounted, montageort, einbauplatz, lage, implantation, endroit, situacion, emplazamiento, posicion, punto di installazione, collocazione, montageplaats, opstelling, locatie omschrijving, room, place, position, label, raum, ort, standort, einbauort, where fitted, where installed, fitted where, raumbezeichnung, emplacement, lieu, localisation, local, piece, ubicacion, sala, habitacion, lugar, ubicazione, posizione, locale, stanza, luogo, locatie, plaats, ruimte, kamer
description: point text, point label, point description, device text, device label, device description, detector text, detector label, address text, loop text, meldertext, melderbezeichnung, punkttext, adresstext, texte du point, libelle du point, texte de l adresse, texto del punto, texto de dispositivo, etiqueta, testo del punto, testo punto, etichetta, punttekst, meldertekst, description, beschreibung, bezeichnung, libelle, designation, descripcion, descrizione, omschrijving, beschrijving
text: text, texte, texto, testo, tekst, message, meldung, nachricht, mensaje, messaggio, melding, detail, details
serial: serial, serial number, serial code, unit serial, serie, n serie, n de serie, no de serie, num serie, n di serie, serien nummer, serienr, serie nummer, serie nr, fabriknummer, matricule, numero di matricola, matr, sn, s n, seriennummer, serien nr, numero de serie, numero di serie, matricola, serienummer
new serial: new serial, new serial number, serial new, serial number new, serial of new unit, serial of new device, new unit serial, serial fitted, neue seriennummer, seriennummer neu, neue serien nr, serien nr neu, nouveau numero de serie, numero de serie nouveau, nouvelle serie, n de serie nouveau, nuevo numero de serie, numero de serie nuevo, nueva serie, nuovo numero di serie, numero di serie nuovo, nuova matricola, matricola nuova, nieuw serienummer, serienummer nieuw
fitted: fitted, fitted on, installed, installed on, date fitted, date installed, install date, installation date, date of installation, commissioned, commissioning date, einbaudatum, eingebaut, eingebaut am, montiert am, inbetriebnahme, date d installation, installe le, date de pose, pose le, mise en service, fecha de instalacion, instalado, data di installazione, data installazione, installato il, installatiedatum, geplaatst, geplaatst op
setting: mode, operating mode, led, led blink, sensitivity, sensitivity class, modus, betriebsart, led blinkt, empfindlichkeit, mode de fonctionnement, clignotement led, sensibilite, modo, parpadeo led, sensibilidad, modalita, lampeggio led, sensibilita, led knippert, gevoeligheid
metres: cable from previous, cable to previous, from previous, kabel vom vorigen, kabel bis zum vorigen, cable depuis le precedent, cable desde el anterior, cavo dal precedente, kabel vanaf vorige, metres, meters, m, cable, cable length, length, distance, metres of cable, cable metres, kabel, kabellange, leitungslange, lange, meter, abstand, longueur, longueur de cable, metres de cable, longitud, longitud de cable, metros, distancia, lunghezza, lunghezza cavo, cavo, metri, distanza, lengte, kabellengte, afstand
spur: spur, spur from, on spur, on spur from, branch from, hangs from, tee, stub, stich, stichleitung, stich von, abzweig, abzweig von, antenne, derivation, derive de, derivacion, ramal, derivazione, diramazione, aftakking, aftakking van
settings: settings, setting, options, configuration, config, einstellung, einstellungen, parameter, reglage, reglages, parametres, ajuste, ajustes, configuracion, parametros, impostazione, impostazioni, configurazione, parametri, instelling, instellingen
date: date, datum, fecha, date tested, date checked, checked on, measured on, read at, read, dated, gepruft am, getestet am, gemessen am, abgelesen am, pruftag, messtag, releve le, mesure le, essaye le, teste le, verifie le, lu le, date de l essai, date d essai, leido el, medido el, probado el, comprobado el, fecha de prueba, fecha de la prueba, letto il, misurato il, provato il, testato il, verificato il, data della prova, data prova, gelezen op, gemeten op, getest op, gecontroleerd op, testdatum, data, day, jour, dia, giorno, dag, date and time, date time, datetime, timestamp, when, read on, date read, date of reading, date of test, test date, tested on, event date, datum uhrzeit, datum und uhrzeit, datum zeit, zeitstempel, zeitpunkt, messdatum, prufdatum, ablesedatum, gelesen am, date et heure, horodatage, date de mesure, date du releve, fecha y hora, fecha de lectura, data e ora, data lettura, datum en tijd, datum tijd, meetdatum
time: time, time of day, clock, uhrzeit, zeit, heure, hora, ora, orario, tijd, tijdstip
value: value, reading, analogue reading, analogue level, analog level, chamber value, current value, rest reading, ruhepegel, analoge wert, analog wert, istwert, valeur analogique, valeur au repos, valeur lue, niveau analogique, valor analogico, valor en reposo, valor leido, valore analogico, valore letto, valore di riposo, livello analogico, analoge waarde, analoogwaarde, gemeten waarde, waarde in rust, resting value, rest value, rest, resting, measurement, analogue value, analog value, analogue, analog, sample, v, wert, messwert, ruhewert, ablesung, analogwert, messung, valeur, mesure, valeur de repos, releve, valor, lectura, medida, valor de reposo, valore, lettura, misura, valore a riposo, waarde, meting, meetwaarde, rustwaarde
by: by, read by, tested by, done by, technician, engineer, operator, inspector, user, person, initials, who, von, durch, techniker, prufer, bearbeiter, gelesen von, gepruft von, wer, par, technicien, operateur, lu par, por, tecnico, operador, leido por, da, operatore, letto da, door, monteur, technicus, gelezen door
remark: remark, remarks, note, notes, comment, comments, bemerkung, bemerkungen, anmerkung, notiz, kommentar, hinweis, remarque, remarques, commentaire, observation, observations, observacion, observaciones, nota, notas, comentario, osservazioni, commento, commenti, opmerking, opmerkingen, notitie
quantity: quantity, what the value is, measured quantity, messgrosse, grandeur, magnitud, grandezza, grootheid
unit: value unit, unit of value, unit of the value, einheit des wertes, unite de la valeur, unidad del valor, unita del valore, eenheid van de waarde, unit, units, einheit, unite, unidad, unita, eenheid
what: what, event, what happened, was geschah, ce qui s est passe, que ocurrio, que paso, che cosa e successo, cosa e successo, wat er gebeurde, wat gebeurde, event type, action, activity, work, work done, status, state, ereignis, aktion, massnahme, tatigkeit, vorgang, zustand, evenement, intervention, travail, etat, evento, accion, actividad, trabajo, estado, azione, attivita, intervento, lavoro, stato, gebeurtenis, actie, activiteit, handeling, werk, toestand
cause: cause, reason, why, warum, ursache, grund, raison, motif, causa, motivo, oorzaak, reden
name: name, type name, name of type, typname, typbezeichnung, nom du type, nombre del tipo, nombre de tipo, nome del tipo, nome tipo, naam van type, typenaam, nom, nombre, nome, naam
width: width, addresses, numbers, numbers it takes, addresses taken, number of addresses, address count, adressen, anzahl adressen, belegte adressen, adresses, nombre d adresses, direcciones, numero de direcciones, indirizzi, numero indirizzi, aantal adressen
low: normal range low, normal range min, normal range from, range low, range min, normalbereich min, normalbereich unten, normalbereich von, plage normale min, plage normale bas, rango normal min, rango normal bajo, campo normale min, campo normale basso, normaal bereik min, normaal bereik laag, limite bas, seuil bas, valeur minimale, unterer wert, niedrigster wert, valor minimo, minimo valor, limite minima, valore minimo, laagste waarde, onderste grens, lowest value, minimum value, unterer grenzwert, grenzwert unten, lower band, lower value, low, lower, lower limit, low limit, low value, band low, min, minimum, lowest, untergrenze, untere grenze, unten, bas, mini, limite basse, limite inferieure, bajo, minimo, limite inferior, basso, limite inferiore, laag, ondergrens
band: range, normal range, band, normal band, value range, normalbereich, wertebereich, plage normale, rango, rango normal, campo normale, normaal bereik
high: normal range high, normal range max, normal range to, range high, range max, normalbereich max, normalbereich oben, normalbereich bis, plage normale max, plage normale haut, rango normal max, rango normal alto, campo normale max, campo normale alto, normaal bereik max, normaal bereik hoog, limite haut, seuil haut, valeur maximale, oberer wert, hochster wert, valor maximo, limite maxima, valore massimo, hoogste waarde, bovenste grens, highest value, maximum value, oberer grenzwert, grenzwert oben, upper band, upper value, high, upper, upper limit, high limit, high value, band high, max, maximum, highest, obergrenze, obere grenze, oben, haut, maxi, limite haute, limite superieure, alto, maximo, limite superior, massimo, limite superiore, hoog, bovengrens
alarm: alarm, alarm level, alarm bei, alarmiert bei, alarme a, alarma a, allarme a, alarm bij, alarmgrenze, seuil alarme, umbral alarma, soglia allarme, alarm value, alarm threshold, alarm at, threshold, alarmschwelle, alarmwert, alarmpegel, schwelle, seuil, seuil d alarme, niveau d alarme, umbral, umbral de alarma, nivel de alarma, soglia, soglia di allarme, livello di allarme, drempel, alarmdrempel, alarmniveau
compensated: compensated, compensation, drift compensated, drift compensation, kompensiert, kompensation, nachfuhrung, compense, compensado, compensacion, compensato, compensazione, gecompenseerd, compensatie
standby: standby, standby current, quiescent current, rest current, ruhestrom, courant de repos, courant de veille, veille, corriente en reposo, consumo en reposo, corrente a riposo, corrente di riposo, ruststroom
alarm current: alarm current, current in alarm, alarmstrom, courant d alarme, courant en alarme, corriente en alarma, corriente de alarma, corrente in allarme, corrente di allarme, alarmstroom
number found: address found, number found, found address, found number, found at, found at number, answers at, adresse vorgefunden, vorgefundene adresse, vorgefundene nummer, gefunden bei, adresse trouvee, numero trouve, trouve a, direccion encontrada, numero encontrado, indirizzo trovato, numero trovato, aangetroffen adres, aangetroffen nummer, gevonden adres
attended: attended, fire service attended, fire service came, fire brigade attended, fire brigade came, fire and rescue service attended, feuerwehr, feuerwehr kam, feuerwehr vor ort, feuerwehreinsatz, pompiers, pompiers venus, intervention des pompiers, bomberos, acudieron los bomberos, bomberos presentes, vigili del fuoco, intervento dei vigili del fuoco, vigili del fuoco intervenuti, brandweer, brandweer gekomen, brandweer ter plaatse
category: kind of alarm, type of alarm, alarm category, alarm type, art des alarms, alarmart, alarmkategorie, genre d alarme, type d alarme, clase de alarma, tipo de alarma, genere di allarme, tipo di allarme, soort alarm, alarmsoort
cleaned: cleaned, was cleaned, gereinigt, nettoye, limpiado, limpiada, pulito, pulita, gereinigd
replaced: replaced, was replaced, exchanged, ausgetauscht, ersetzt, getauscht, remplace, sustituido, sustituida, reemplazado, sostituito, sostituita, vervangen
day: day of month
month: month, monat, mois, mes, mese, maand
year: year, jahr, annee, an, ano, anno, jaar
least volts: least volts, least working volts, least voltage, minimum voltage, minimum volts, min voltage, min volts, voltage, volts, mindestspannung, minimale spannung, spannung, tension minimale, tension, voltaje minimo, voltaje, tensione minima, tensione, minimale spanning, spanning
life: life, service life, lifetime, years, nutzungsdauer, lebensdauer, jahre, duree de vie, vida util, vita utile, durata, levensduur, gebruiksduur
worse: worse, worse is, dirt moves it, direction of dirt, contamination
usual noise: usual noise, noise, pooled sd
spread limit: spread limit, largest spread
clean rest: clean rest, rest of a clean unit
band setting: band setting, setting of band, applies to, for setting, at setting, gilt fur, bei einstellung, pour le reglage, para el ajuste, per impostazione, voor instelling
trouble: trouble
`

const eventWords = `
tested: tested, test, functional test, smoke test, test ok, passed, checked, check, inspected, inspection, gepruft, prufung, getestet, funktionstest, funktionsprufung, teste, essai, essaye, verifie, controle, probado, prueba, comprobado, testato, prova, provato, verificato, getest, functietest, beproefd, gecontroleerd
cleaned: cleaned, clean, cleaning, gereinigt, reinigung, nettoye, nettoyage, limpiado, limpieza, pulito, pulizia, gereinigd, reiniging, schoongemaakt
replaced: replaced, replacement, exchanged, swapped, ausgetauscht, austausch, ersetzt, getauscht, gewechselt, remplace, remplacement, echange, sustituido, sustitucion, reemplazado, cambiado, sostituito, sostituzione, vervangen, vervanging
alarm: alarm, fire alarm, false alarm, unwanted alarm, fire, feuer, feueralarm, brandalarm, fehlalarm, alarme, alarme incendie, fausse alarme, alarma, falsa alarma, incendio, allarme, falso allarme, vals alarm
fault: fault, failure, defect, storung, defekt, fehler, derangement, defaut, panne, averia, fallo, guasto, difetto, storing
disabled: disabled, isolated, taken out of service, out of service, ausser betrieb, mis hors service, desconectado, desconectada, fuera de servicio, fuori servizio, buiten bedrijf, switched off, inhibited, disablement, abgeschaltet, ausgeschaltet, deaktiviert, abschaltung, hors service, desactive, isole, deshabilitado, desactivado, anulado, aislado, disabilitato, disattivato, escluso, uitgeschakeld
restored: restored, enabled, back in service, wieder eingeschaltet, wieder in betrieb, remis en marche, reconectado, reconectada, de nuevo en servicio, reinserito, riattivato, weer ingeschakeld, weer in bedrijf, reenabled, re enabled, switched on, reset, normal, cleared, wiederhergestellt, eingeschaltet, zuruckgesetzt, zuruckgestellt, wieder aktiv, retabli, remis en service, rehabilitado, restablecido, habilitado, ripristinato, riabilitato, hersteld, ingeschakeld, de isolated, deisolated, un isolated, unisolated, undisabled, un disabled, isolation removed, isolation lifted, disablement removed, disablement cleared, fault cleared, fault restored, fault mended, fault resolved, end of fault, abschaltung aufgehoben, ausschaltung aufgehoben, abschaltung beendet, storung behoben, storung beseitigt, storung aufgehoben, ende der storung, fehler behoben, remise en service, mise hors service annulee, fin de mise hors service, defaut disparu, defaut resolu, fin de defaut, fin de derangement, averia resuelta, averia reparada, fin de averia, fallo resuelto, fin de fallo, anulacion retirada, anulacion levantada, fin de anulacion, guasto risolto, guasto rientrato, fine guasto, esclusione rimossa, esclusione tolta, fine esclusione, storing opgelost, storing verholpen, storing hersteld, einde storing, uitschakeling opgeheven, einde uitschakeling
`

// deviceWords: the first line with a word that occurs wins, so the narrower kinds come first.
const deviceWords = `
multi: multi, multisensor, mehrfach, mehrfachsensor, mehrfachmelder, multisensore, multisensoriel, multicriterium, combine, combinado, combinato, multicriteria, combined, optical heat, mehrkriterien, multicapteur, multicritere, multicriterio
aspirating: aspirating, aspiration, air sampling, ansaugrauchmelder, aspirant, aspiracion, aspirazione
call point: call point, callpoint, manual, break glass, pull station, handmelder, handfeuermelder, druckknopf, declencheur, declencheur manuel, pulsador, pulsante, handbrandmelder
isolator: isolator, isolating, trenner, isolateur, aislador, isolatore
sounder: sounder, siren, horn, bell, sirene, signalgeber, sirena, zoemer
beacon: beacon, strobe, flashing light, blitzleuchte, feu, luz, lampeggiante, flitslicht
gas: gas, gaz, gasmelder, detector de gas, carbon monoxide gas
module: module, input, output, interface, relay, modul, koppler, eingang, ausgang, modulo, entrada, salida, ingresso, uscita
heat: heat, thermal, temperature, rate of rise, warme, warmemelder, thermisch, chaleur, thermique, temperatura, calor, termico, calore, warmte, hitte
optical: optical, photoelectric, photo, optisch, optique, optico, ottico
ionisation: ionisation, ionization, ion, ionisations, ionico, ionizzazione
co: co, carbon monoxide, kohlenmonoxid, monoxyde, monoxido, monossido, koolmonoxide
flame: flame, flamme, llama, fiamma, vlam
beam: beam, linear, linienformig, lineaire, barrera, barriera
smoke: smoke, rauch, rauchmelder, fumee, humo, fumo, rook, rookmelder
`

const totalWords = `
total: total, totals, subtotal, sum, grand total, count, average, mean, gesamt, gesamtsumme, summe, zwischensumme, anzahl, mittelwert, somme, sous total, moyenne, totaux, suma, promedio, totale, somma, totaal, aantal, gemiddelde
`

// quantityWords name what is read beside a resting value, where a heading gives its unit too.
const quantityWords = `
sensitivity: sensitivity, empfindlichkeit, sensibilite, sensibilidad, sensibilita, gevoeligheid
compensation used: compensation used, share of compensation used, drift compensation used, compensation
`

const directionWords = `
up: up, upwards, rises, rising, high, auf, haut, arriba, su, omhoog
down: down, downwards, falls, falling, low, ab, bas, abajo, giu, omlaag
`

const yesWords = `
yes: yes, y, true, 1, x, ja, j, wahr, oui, o, vrai, si, s, verdadero, vero, waar, ✓, ✔
no: no, n, false, 0, nein, falsch, non, faux, falso, nee, onwaar, none, keine
`

// lexicon holds the word lists ready for looking up; made anew for each table, with the table's own names.
type lexicon struct {
	headings           map[string]Field
	events             map[string]Happening
	devices            map[string]string
	order              []string // devices in their order
	totals             map[string]bool
	yes                map[string]bool
	lengths, positions map[string]bool            // words of headings, as sense.go has them
	fillers            map[string]map[string]bool // by the lists of whole_words.go
	formers            map[string]bool
	several            map[string]bool // words of headings of several values in a cell
	absent             map[string]bool // no device is fitted, as absent.go has it
	turning            map[string]bool // words that make another thing of what happened

	vacancies    map[string]bool // nothing is there, or was read
	subAddresses map[string]bool
	dayWords     map[string]bool // heads of the day of a month, which could be of a date too
	pairs        map[string]Apart
	categories   map[string]string
	printed      map[string]bool
	dayFillers   map[string]bool // may stand beside the word for a date
	unsureTitles map[string]bool
	visits       map[string]bool    // may stand before the day of a visit
	drafts       map[string]bool    // in names of sheets whose rows do not hold
	otherDays    map[string]bool    // words of headings of days that are not those of the rows
	alternatives map[string][]Field // what else a heading may mean

	quantities map[string]string // as quantityWords name them
	directions map[string]string // up or down

	verdicts map[string]verdictClass // phrases of how a test went
	longest  int                     // words in the longest of them
	stems    map[string]bool         // single words of failure that compounds are made with
	near     map[int][]string        // the same by their length, to look for misspelt ones
	names    int                     // names learnt from the table's own columns
	results  map[string]polarity     // headings of columns with such words

	titleFillers map[string]bool // stand in titles beside their day
	sites        map[string]bool // stand before the name of a site
	listings     map[string]bool // name a paper
	titleTurns   map[string]bool // in titles, make another thing of the rows

	openHeads bool // headings of visits leave their year out, as "May", or may be a month and its year, as "05/26"
}

func newLexicon() *lexicon {
	lx := &lexicon{
		headings: map[string]Field{}, events: map[string]Happening{}, devices: map[string]string{},
		totals: map[string]bool{}, yes: map[string]bool{},
		quantities: map[string]string{}, directions: map[string]string{},
	}
	eachWord(headingWords, func(field, word string) { lx.headings[word] = Field(field) })
	eachWord(quantityWords, func(name, word string) { lx.quantities[word] = name })
	eachWord(directionWords, func(way, word string) { lx.directions[word] = way })
	eachWord(eventWords, func(what, word string) { lx.events[word] = Happening(what) })
	eachWord(deviceWords, func(device, word string) {
		lx.devices[word] = device
		if n := len(lx.order); n == 0 || lx.order[n-1] != device {
			lx.order = append(lx.order, device)
		}
	})
	lx.turning = map[string]bool{}
	eachWord(turningWords, func(_, word string) { lx.turning[word] = true })
	lx.learnSenses()
	lx.learnFillers()
	lx.learnSeveral()
	lx.learnAbsent()
	lx.learnIntakeWords()
	lx.learnDayWords()
	lx.learnDraftWords()
	lx.learnTitles()
	lx.learnSites()
	eachWord(totalWords, func(_, word string) { lx.totals[word] = true })
	lx.learnVerdicts()
	eachWord(yesWords, func(yes, word string) { lx.yes[word] = yes == "yes" })
	return lx
}

func eachWord(table string, f func(key, word string)) {
	for line := range strings.Lines(strings.TrimSpace(table)) {
		key, words, _ := strings.Cut(strings.TrimSpace(line), ":")
		for word := range strings.SplitSeq(words, ",") {
			f(key, strings.TrimSpace(word))
		}
	}
}

// fold makes words comparable: lower case, no accents, anything but letters and digits a single space.
func fold(s string) string {
	var b strings.Builder
	space := false
	for _, r := range norm.NFD.String(strings.ToLower(s)) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r == 'º' || r == 'ª': // the raised letters of Nº and Nª count as letters, the degree of N° does not
			space = true
		case unicode.IsLetter(r) || unicode.IsDigit(r) || isMark(r):
			if space && b.Len() > 0 {
				b.WriteByte(' ')
			}
			space = false
			if r == 'ß' {
				b.WriteByte('s')
				r = 's'
			}
			b.WriteRune(r)
		default:
			space = true
		}
	}
	return b.String()
}

// isMark knows the ticks, crosses and boxes that stand for a word.
func isMark(r rune) bool { return strings.ContainsRune("✓✔☑✅✗✘❌☒☐", r) }

// event finds what a cell says happened. What is denied did not happen; of two things in one cell only
// a test that raised an alarm, and the end of an alarm, fault or disablement, are one thing.
func (lx *lexicon) event(cell string) (Happening, bool) {
	s := fold(cell)
	if w, ok := lx.events[s]; ok {
		return w, true
	}
	found := lx.happenings(s)
	if found == nil || len(found) != 1 {
		return "", false
	}
	for w := range found {
		return w, true
	}
	return "", false
}

// isSeveral reports whether a cell names several things that are not one, of which a test may be one.
func (lx *lexicon) isSeveral(cell string) bool {
	found := map[Happening]bool{}
	s := fold(cell)
	for from, to := range wordRuns(s) {
		if w, ok := lx.events[s[from:to]]; ok {
			found[w] = true
		}
	}
	for _, w := range []Happening{Tested, Alarmed, Faulty} {
		delete(found, w)
	}
	return len(found) > 0
}

// happenings gives what folded words name; nil where something is denied.
func (lx *lexicon) happenings(s string) map[Happening]bool {
	found := map[Happening]bool{}
	for from, to := range wordRuns(s) {
		word := s[from:to]
		if isDenial(word) {
			return nil
		}
		if w, ok := lx.events[word]; ok {
			found[w] = true
		}
	}
	switch {
	case found[Restored]:
		delete(found, Alarmed)
		delete(found, Faulty)
		delete(found, Disabled)
	case found[Tested]:
		delete(found, Alarmed)
	}
	return found
}

func isDenial(word string) bool {
	switch word {
	case "not", "no", "nicht", "kein", "keine", "pas", "non", "niet", "geen":
		return true
	}
	return false
}

// device finds the kind of device in free text; "" when none of the words occurs.
func (lx *lexicon) device(cell string) string {
	s := fold(cell)
	found := map[string]bool{}
	for from, to := range wordRuns(s) {
		if d, ok := lx.devices[s[from:to]]; ok {
			found[d] = true
		}
	}
	if (found["optical"] || found["smoke"] || found["ionisation"]) && (found["heat"] || found["co"]) {
		return "multi"
	}
	for _, d := range lx.order {
		if found[d] {
			return d
		}
	}
	return ""
}

// wordRuns yields the bounds of every run of one to four words in s, longest first at each start.
func wordRuns(s string) func(yield func(from, to int) bool) {
	return func(yield func(from, to int) bool) {
		ends := []int{}
		for i := range len(s) {
			if s[i] == ' ' {
				ends = append(ends, i)
			}
		}
		ends = append(ends, len(s))
		start := 0
		for k := range min(len(ends), 64) {
			for n := min(k+3, len(ends)-1); n >= k; n-- {
				if !yield(start, ends[n]) {
					return
				}
			}
			start = ends[k] + 1
		}
	}
}

// monthNumber knows the months and their short forms in the languages of this file; 0 when word is none.
func monthNumber(word string) int {
	if len(word) < 3 || len(word) > 12 {
		return 0
	}
	return month.Number(fold(word))
}

// isDateFiller knows the words around a date's parts: "1st", "31 de enero de 2025".
func isDateFiller(word string) bool {
	switch strings.ToLower(word) {
	case "st", "nd", "rd", "th", "er", "de", "del", "of", "le", "el", "il":
		return true
	}
	return false
}
