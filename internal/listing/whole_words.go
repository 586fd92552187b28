package listing

// fillerWords may stand in a heading beside the word of a role and leave it that role, in the six languages. What
// headings say beside them makes another thing of the column, or may: an isolator's address, a base's serial number, a
// value of another year. Common practice, no source.
const fillerWords = `
any: of, the, a, an, at, in, on, for, to, and, or, as, by, with, its, our, this, der, die, das, des, dem, den, im, am, an, in, fur, und, oder, von, vom, le, la, les, l, de, du, d, des, un, une, au, aux, en, et, ou, sur, el, lo, los, las, del, al, y, o, un, una, il, lo, i, gli, dello, della, dei, degli, delle, dell, di, da, nel, e, het, een, van, voor, op, bij
number: no, nr, nos, num, number, numbers, numero, nummer, n, nº, id, ref, reference, code, referenz, referencia, riferimento, referentie, kennung, kenn, lfd
device: device, devices, detector, detectors, point, element, sensor, unit, head, item, apparatus, gerat, gerate, melder, brandmelder, punkt, meldepunkt, messstelle, sensor, detecteur, appareil, capteur, dispositivo, equipo, rivelatore, apparecchio, sensore, apparaat, melder, branddetector
ref: loop, address, addr, panel, analogue, addressable, field, decimal, dec, listed, actual, linie, schleife, ring, adresse, zentrale, boucle, centrale, lazo, bucle, direccion, anello, indirizzo, lus, adres, paneel, channel, sub, current, present, now, aktuelle, actuelle, attuale, huidige, programmed
value: value, reading, readings, measured, measurement, analogue, analog, raw, now, resting, rest, read, level, signal, output, current, present, actual, chamber, sensor, today, wert, messwert, ruhewert, analogwert, gemessener, gemessen, abgelesener, aktueller, aktuell, ruhe, valeur, mesuree, mesure, lue, analogique, repos, actuelle, valor, medido, leido, analogico, reposo, actual, lectura, valore, misurato, letto, riposo, attuale, lettura, waarde, gemeten, gelezen, analoge, rust, huidige, meting, visit, round, survey, sample, date, day, besuch, rundgang, probe, visite, passage, visita, campione, muestra, bezoek, monster, quiescent, standing, idle
result: test, tests, tested, testing, check, checked, checks, inspection, functional, function, functions, smoke, walk, annual, yearly, monthly, weekly, quarterly, periodic, visit, service, survey, outcome, result, results, ok, nok, pass, fail, passed, failed, prufung, prufungs, funktion, funktions, funktionstest, funktionsprufung, jahrliche, jahres, wartung, essai, essais, fonctionnel, fonctionnement, annuel, annuelle, visite, prueba, pruebas, funcionamiento, funcional, anual, visita, prova, prove, funzionale, funzionamento, annuale, functie, functietest, jaarlijkse, controle, fire, alarm test, event, happened, was, done, been, has, status, state, what
type: type, kind, model, make up, name, part, product, fitted, installed, present, current, sheet, description, designation, text, category, typ, modell, bezeichnung, art, verbaut, eingebaut, montiert, modele, designation, installe, pose, actuel, tipo, modelo, modello, nombre, nome, denominacion, denominazione, instalado, installato, actual, attuale, naam, soort, geplaatst, omschrijving, article, artikel
zone: zone, zones, detection, fire, name, text, description, area, group, meldezone, meldegruppe, meldergruppe, meldebereich, gruppe, zona, zonas, deteccion, rivelazione, rilevazione, incendio, incendie, detectie, brand, groep, nom, nombre, nome, naam, bezeichnung, title
place: location, place, room, position, floor, level, storey, building, area, zone, wing, block, section, name, text, description, label, where, fitted, installed, mounted, mounting, sited, ort, raum, lage, standort, einbauort, montageort, etage, geschoss, stockwerk, gebaude, bereich, bezeichnung, text, emplacement, lieu, local, piece, etage, niveau, batiment, pose, installation, libelle, texte, nom, ubicacion, lugar, sala, planta, piso, edificio, descripcion, texto, nombre, instalacion, ubicazione, luogo, posizione, locale, stanza, piano, livello, edificio, descrizione, testo, nome, installazione, locatie, plaats, ruimte, kamer, verdieping, gebouw, omschrijving, tekst, naam, user, customer, engineer, short, long, full, exact
serial: serial, serie, seriennummer, serienummer, matricule, matricola, serien, fabrik, factory, manufacturer, hersteller, fabricant, fabricante, costruttore, fabrikant, installed, fitted, current, present
length: cable, kabel, cavo
`

// formerWords stand in headings of the numbers that devices had before. Common practice, no source.
const formerWords = `
former: old, former, previous, alt, alte, alter, vorige, bisherige, ancien, ancienne, anciens, anciennes, antiguo, antigua, antiguos, vecchio, vecchia, vecchi, oud, oude, vorig
`

func (lx *lexicon) learnFillers() {
	lx.fillers, lx.formers = map[string]map[string]bool{}, map[string]bool{}
	eachWord(formerWords, func(_, word string) { lx.formers[word] = true })
	eachWord(fillerWords, func(role, word string) {
		if lx.fillers[role] == nil {
			lx.fillers[role] = map[string]bool{}
		}
		lx.fillers[role][word] = true
	})
}

// roleFillers gives the lists of fillers of each field whose headings are understood only whole.
var roleFillers = map[Field][]string{
	Point: {"any", "number", "device", "ref"}, Address: {"any", "number", "device", "ref"}, Loop: {"any", "number", "device", "ref"}, Panel: {"any", "number", "ref"},
	number: {"any", "number", "device", "ref"}, setNumber: {"any", "number", "device", "ref"}, standing: {"any", "number", "device", "ref"}, Wanted: {"any", "number", "device", "ref"},
	Value: {"any", "device", "value"}, Result: {"any", "device", "result"}, What: {"any", "device", "result"},
	Type: {"any", "number", "device", "type"}, Device: {"any", "number", "device", "type"}, Zone: {"any", "number", "device", "zone"},
	Location: {"any", "number", "device", "place"}, Area: {"any", "number", "device", "place"}, Floor: {"any", "number", "device", "place"}, description: {"any", "number", "device", "place", "ref"},
	Serial: {"any", "number", "device", "serial"},
}
