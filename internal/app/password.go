package app

import (
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"sootline"
)

// LeastPassword is the shortest password (NIST SP 800-63B-4, 3.1.1.2: fifteen
// characters where it is the only factor; from memory).
const LeastPassword = 15

// mostPassword is room for any sentence; a longer one would only cost time.
const mostPassword = 1000

// goodPassword refuses a password that is too short, or that somebody who guesses
// tries early: NIST SP 800-63B-4, 3.1.1.2 (from memory) asks to hold new passwords
// against those that are common, expected or found in breaches, and to ask for no
// mixture of characters. There is no list of breached ones here: of fifteen
// characters and more, the common ones are made by the few rules below.
func goodPassword(name, password string) error {
	switch {
	case utf8.RuneCountInString(password) < LeastPassword:
		return sootline.Errorf(sootline.Invalid, "a few words that nobody else puts together are easy to keep", "a password has at least %d characters", LeastPassword)
	case len(password) > mostPassword:
		return sootline.Errorf(sootline.Invalid, "", "a password has at most %d bytes", mostPassword)
	}
	if why := guessable(name, password); why != "" {
		return sootline.Errorf(sootline.Invalid, "a few words that nobody else puts together are easy to keep", "this password is tried early by whoever guesses: %s", why)
	}
	return nil
}

// wordsTried are words that passwords are commonly made of (common practice, no
// source), and those of the trade and the product.
var wordsTried = []string{
	"password", "passwort", "passwd", "letmein", "welcome", "willkommen", "bienvenue", "administrator",
	"admin", "manager", "technician", "reader", "secret", "geheim", "default", "changeme",
	"iloveyou", "sunshine", "princess", "dragon", "monkey", "football", "master", "login",
	"user", "test", "sootline", "firealarm", "alarm", "detector", "detection", "smoke",
	"fire", "book",
}

// rowsTried are runs that fingers or children make: keyboard rows of the layouts
// QWERTY, QWERTZ and AZERTY, columns of the first, the alphabet and the digits.
var rowsTried = []string{
	"qwertyuiopasdfghjklzxcvbnm", "qwertzuiopasdfghjklyxcvbnm", "azertyuiopqsdfghjklmwxcvbn", "qwertyuiop", "asdfghjkl", "zxcvbnm",
	"1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p", "abcdefghijklmnopqrstuvwxyz", "01234567890123456789", "12345678901234567890",
}

// leastRow is the shortest stretch of a row that counts as one.
const leastRow = 4

// guessable says why a password is easily guessed, or nothing. It takes out what
// is known: stretches of rows, words that are tried, the person's name, repeats; where
// little is left, whoever guesses has little to do.
func guessable(name, password string) string {
	plain := lettersAndDigits(password)
	if plain == "" {
		plain = strings.ToLower(password)
	}
	if distinct(plain) < 5 {
		return "it has very few different characters"
	}
	if part := repeats(plain); part != "" {
		return "it is the same few characters again and again"
	}
	left := plain
	for _, word := range append(strings.Fields(strings.ToLower(name)), wordsTried...) {
		if word = lettersAndDigits(word); len(word) >= 3 {
			left = strings.ReplaceAll(left, word, "")
		}
	}
	left = withoutRows(left)
	if digitsOnly(left) && utf8.RuneCountInString(left) <= 8 || utf8.RuneCountInString(left) < 5 {
		return "it is made of the name, common words, rows of keys or counting"
	}
	return ""
}

// lettersAndDigits leaves out the rest, and folds case.
func lettersAndDigits(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, text)
}

func distinct(text string) int {
	seen := map[rune]bool{}
	for _, c := range text {
		seen[c] = true
	}
	return len(seen)
}

// repeats gives the part of which a text is made by repeating it, the last time
// perhaps in part; empty where there is none of up to a half of it.
func repeats(text string) string {
	for n := 1; n <= len(text)/2; n++ {
		if strings.HasPrefix(text[n:], text[:len(text)-n]) {
			return text[:n]
		}
	}
	return ""
}

// withoutRows takes out the stretches of rows, forwards and backwards, the longest first.
func withoutRows(text string) string {
	for at := 0; at < len(text); {
		most := 0
		for n := leastRow; at+n <= len(text); n++ {
			if !inRow(text[at : at+n]) {
				break
			}
			most = n
		}
		if most == 0 {
			at++
			continue
		}
		text = text[:at] + text[at+most:]
	}
	return text
}

func inRow(text string) bool {
	for _, row := range rowsTried {
		if strings.Contains(row, text) || strings.Contains(row, backwards(text)) {
			return true
		}
	}
	return false
}

func backwards(text string) string {
	var b strings.Builder
	for i := len(text) - 1; i >= 0; i-- {
		b.WriteByte(text[i])
	}
	return b.String()
}

func digitsOnly(text string) bool {
	return strings.IndexFunc(text, func(c rune) bool { return !unicode.IsDigit(c) }) < 0
}

// What a password costs to try: 19 MiB and two passes of argon2id (OWASP password
// storage cheat sheet, from memory); 40 ms on the machine it was tried on.
const (
	hashPasses = 2
	hashKiB    = 19 << 10
	hashBytes  = 32
)

// hashing has room for as many passwords as are hashed at once: each costs memory
// and time on purpose, and strangers may ask for it.
var hashing = make(chan struct{}, 2)

// hash gives the hash of a password under a salt of its own.
func (a *App) hash(password string) string {
	random, more := a.Random(), a.Random()
	return hashed(password, append(random[:], more[:]...))
}

// hashed gives the PHC string of a password.
func hashed(password string, salt []byte) string {
	encode := base64.RawStdEncoding.EncodeToString
	hashing <- struct{}{}
	defer func() { <-hashing }()
	key := argon2.IDKey([]byte(password), salt, hashPasses, hashKiB, 1, hashBytes)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=1$%s$%s", argon2.Version, hashKiB, hashPasses, encode(salt), encode(key))
}

// matches reports whether a password is the one that was kept.
func matches(kept, password string) bool {
	fields := strings.Split(kept, "$")
	if len(fields) != 6 || len(password) > mostPassword {
		return false
	}
	salt, err := base64.RawStdEncoding.DecodeString(fields[4])
	if err != nil {
		return false
	}
	return subtle.ConstantTimeCompare([]byte(kept), []byte(hashed(password, salt))) == 1
}
