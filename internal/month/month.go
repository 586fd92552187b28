// Package month knows the names of the months in the languages of the house.
package month

// Number gives the number of a month by its name or its short form in English, German, French, Spanish, Italian or Dutch,
// in small letters without accents; 0 where the word is none. The names are the languages' own, from memory.
func Number(word string) int {
	switch word {
	case "jan", "january", "januar", "janner", "janvier", "janv", "enero", "ene", "gennaio", "gen", "januari":
		return 1
	case "feb", "february", "februar", "fevrier", "fevr", "fev", "febrero", "febbraio", "februari":
		return 2
	case "mar", "march", "marz", "mrz", "mars", "marzo", "maart", "mrt":
		return 3
	case "apr", "april", "avril", "avr", "abril", "abr", "aprile":
		return 4
	case "may", "mai", "mayo", "maggio", "mag", "mei":
		return 5
	case "jun", "june", "juni", "juin", "junio", "giugno", "giu":
		return 6
	case "jul", "july", "juli", "juillet", "juil", "julio", "luglio", "lug":
		return 7
	case "aug", "august", "aout", "agosto", "ago", "augustus":
		return 8
	case "sep", "sept", "september", "septembre", "septiembre", "settembre", "set", "sett":
		return 9
	case "oct", "october", "okt", "oktober", "octobre", "octubre", "ottobre", "ott":
		return 10
	case "nov", "november", "novembre", "noviembre":
		return 11
	case "dec", "december", "dez", "dezember", "decembre", "diciembre", "dic", "dicembre":
		return 12
	}
	return 0
}
