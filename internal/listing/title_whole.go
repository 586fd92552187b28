package listing

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// TitleMeant is what a person said of a title that may change what the rows below it mean.
type TitleMeant string

// What a person may say.
const (
	TitleTaken TitleMeant = "taken" // the rows hold as they stand
	TitleLeft  TitleMeant = "left"  // nothing of the table is taken
)

// titleTurns are words of titles that make another thing of the rows below: not there, not yet or no longer, not in
// earnest, or figures of another kind; beside them stand the words that void, the former ones, and those of drafts. Common practice, no source.
const titleTurns = `
gone: removed, dismantled, decommissioned, disused, scrapped, missing, ausgebaut, ausgebaute, ausgebauter, demontiert, demontierte, entfernt, entfernte, stillgelegt, stillgelegte, entfallen, entfallene, depose, deposes, deposee, deposees, enleve, enleves, supprime, supprimes, retirado, retirados, desmontado, desmontados, eliminados, rimosso, rimossi, smontato, smontati, dismesso, dismessi, verwijderd, verwijderde, gedemonteerd
yet: planned, plan, proposed, proposal, future, extension, not, yet, pending, due, required, wanted, spare, reserve, reserved, geplant, geplante, erweiterung, nicht, noch, kunftig, zukunftig, fallig, vorgesehen, prevu, prevus, prevue, prevues, futur, projet, pas, previsto, previstos, prevista, previsti, futuro, ampliacion, pendiente, pendientes, ampliamento, futuri, non, gepland, geplande, toekomstig, uitbreiding, niet, nog, next, nachste, prochain, prochaine, proximo, proxima, prossimo, prossima, volgende
paper: quotation, quote, offer, tender, estimate, order, specimen, angebot, bestellung, muster, devis, offre, commande, presupuesto, oferta, pedido, preventivo, offerta, ordine, offerte, bestelling
figure: expected, target, nominal, limit, limits, threshold, thresholds, setpoint, setpoints, maximum, minimum, average, averages, volts, voltage, voltages, currents, amps, resistance, resistances, cost, costs, price, prices, temperature, temperatures, humidity, tenths, hundredths, count, counts, calculated, erwartet, erwartete, sollwert, sollwerte, grenzwert, grenzwerte, schwelle, schwellen, alarmschwellen, spannung, spannungen, strome, kosten, preis, preise, temperatur, temperaturen, zehntel, anzahl, berechnet, attendu, attendues, attendus, seuil, seuils, limite, limites, tension, tensions, cout, couts, prix, dixiemes, nombre, esperado, esperados, umbral, umbrales, tension, tensiones, coste, costes, precio, precios, decimas, numero de alarmas, atteso, attesi, soglia, soglie, tensione, tensioni, costo, costi, prezzo, prezzi, temperature, decimi, verwacht, verwachte, drempel, drempels, grenswaarden, spanning, spanningen, kosten, prijs, prijzen, temperaturen, tienden
`

// titleNouns name the rows themselves; a word beside one that nobody knows may say which of them, or of what.
var titleNouns = []Field{Point, Address, Value, Type, Device}

func (lx *lexicon) learnTitles() {
	lx.titleTurns, lx.listings = map[string]bool{}, map[string]bool{}
	eachWord(listingWords, func(_, word string) { lx.listings[word] = true })
	eachWord(titleTurns, func(_, word string) { lx.titleTurns[word] = true })
	maps.Copy(lx.titleTurns, voids.everywhere)
	maps.Copy(lx.titleTurns, lx.formers)
	eachWord(draftWords, func(of, word string) { lx.titleTurns[word] = lx.titleTurns[word] || of == "draft" })
}

// turnsRows gives the word of a title that may make another thing of the rows below it; empty: none. A title that is no
// more than names that nobody knows is that of a paper.
func (u *Understanding) turnsRows(title string) string {
	lx, noun, stranger := u.lx, false, ""
	if len(title) > 100 || u.known.isTold(title) {
		return ""
	}
	if phrase := voidPhrase(title); phrase != "" {
		return phrase
	}
	words := strings.Fields(fold(title))
	for i, word := range words {
		switch {
		case u.known.isName(word):
			continue
		case lx.titleTurns[word]:
			return word
		case slices.Contains(titleNouns, lx.headings[word]) || rowNouns[word]:
			noun = true
			continue
		case i > 0 && slices.Contains(byWords, word):
			words = words[:i]
		}
		if len(words) == i {
			break
		}
		if stranger == "" && !u.leavesRows(word, before(words, i)) {
			stranger = word
		}
	}
	if noun {
		return stranger
	}
	return ""
}

func before(words []string, i int) string {
	if i == 0 {
		return ""
	}
	return words[i-1]
}

// rowNouns are plural and whole-list words that are no headings.
var rowNouns = map[string]bool{
	"values": true, "readings": true, "devices": true, "detectors": true, "points": true, "werte": true, "melder": true, "gerate": true, "messwerte": true, "valeurs": true, "detecteurs": true, "appareils": true,
	"valores": true, "lecturas": true, "detectores": true, "equipos": true, "valori": true, "letture": true, "rivelatori": true, "waarden": true, "metingen": true, "melders": true, "apparaten": true,
}

// listingWords name the paper, whatever stands in it.
const listingWords = `
list: both, all, each, panels, beide, alle, aller, zentralen, tous, toutes, deux, centrales, ambos, ambas, todos, todas, entrambi, tutti, tutte, centrali, loops, zones, areas, rooms, floors, buildings, visits, schleifen, ringe, ringleitungen, linien, zonen, bereiche, raume, etagen, gebaude, begehungen, boucles, lignes, etages, batiments, visites, lazos, bucles, zonas, edificios, plantas, visitas, anelli, linee, edifici, piani, visite, lussen, lijnen, gebouwen, verdiepingen, ruimtes, bezoeken, schedule, register, inventory, overview, summary, survey, book, table, asset, assets, verzeichnis, ubersicht, bestand, bestandsliste, melderliste, gerateliste, tabelle, aufstellung, inventaire, repertoire, recapitulatif, bordereau, inventario, relacion, listado, cuadro, riepilogo, quadro, overzicht, inventaris, staat, fire, brand, feu, prepared, compiled, issued, owner, operator, occupier, client, customer, erstellt, zusammengestellt, betreiber, eigentumer, kunde, etabli, redige, exploitant, proprietaire, preparado, elaborado, titular, propietario, cliente, preparato, redatto, gestore, proprietario, opgesteld, gemaakt, gebruiker, eigenaar, klant, incendie, incendio, incendios, antincendio, branden, tabelle1, blad1, hoja1, foglio1, feuil1, sheet1
`

// leavesRows: a word of a title that is known to leave the rows what they are.
func (u *Understanding) leavesRows(word, before string) bool {
	lx := u.lx
	_, verdict := lx.verdicts[word]
	return u.knowsTitleWord(word, before) || lx.headings[word] != "" || lx.events[word] != "" || lx.devices[word] != "" || verdict || harmlessSingles[word] ||
		lx.listings[word] || lx.unsureTitles[word] || lx.printed[word] || monthNumber(word) > 0 || isPlain(word) || isRoom(word) || len(word) <= 3 || isPageWord(word)
}

func isPageWord(word string) bool { return slices.Contains(pageWords, word) }

// isTold: the text is a place or type of the register, whatever its words.
func (k *Known) isTold(text string) bool { return k.isPlace(text) || k.isType(text) }

// harmlessSingles are the words of phrases that say nothing of how a test went.
var harmlessSingles = singles(harmlessTables)

func singles(tables []string) map[string]bool {
	all := map[string]bool{}
	for _, table := range tables {
		eachWord(table, func(_, phrase string) {
			for word := range strings.FieldsSeq(phrase) {
				all[word] = true
			}
		})
	}
	return all
}

// titleKeys name, in a document, what is said beside its lists as by a title.
var titleKeys = []string{"title", "titel", "titre", "titulo", "titolo", "heading", "caption", "name", "list", "report"}

// titlesAbove gives the texts that stand above the rows: of the page, of the sheet, and above the headings.
func (s *study) titlesAbove() []string {
	texts := append([]string{s.t.Title}, s.t.above...)
	for _, text := range s.t.beside {
		if key, title, _ := strings.Cut(text, " "); slices.Contains(titleKeys, fold(key)) {
			texts = append(texts, title)
		}
	}
	for _, row := range s.sample {
		n := filledCells(row.Cells)
		if s.u.HeaderLine > 0 && row.Line >= s.u.HeaderLine || s.u.HeaderLine == 0 && n > 1 {
			break
		}
		if first, _ := firstFilled(row.Cells); n == 1 || n == 2 && strings.HasSuffix(strings.TrimSpace(row.Cells[first]), ":") {
			texts = append(texts, strings.Join(nonEmpty(row.Cells), " "))
		}
	}
	return texts
}

// doubtTitles asks about a title with a word that may change what the rows mean.
func (s *study) doubtTitles() {
	u := s.u
	if u.Kind == KindUnknown || u.profile.TitleMeans == TitleTaken {
		return
	}
	for _, text := range s.titlesAbove() {
		word := u.turnsRows(text)
		if word == "" {
			continue
		}
		if u.profile.TitleMeans == TitleLeft {
			u.Kind, u.KindWhy, u.Questions = KindUnknown, fmt.Sprintf("its title %q may say that its rows do not hold, and it was answered to leave it out", quoteless(text)), nil
			return
		}
		u.askOnce(AskTitle, fmt.Sprintf("The title %q has the word %q, which may change what the rows mean. Do they hold as they stand?", quoteless(text), word),
			Choice{string(TitleTaken), "yes, take them as they stand"}, Choice{string(TitleLeft), "no, leave the table out"})
		return
	}
}
