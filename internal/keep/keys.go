package keep

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"filippo.io/age"

	"sootline"
)

// Recipients reads to whom backups are encrypted: the public halves of keys, as
// the age format writes them.
func Recipients(texts []string) (all []age.Recipient, err error) {
	for _, text := range texts {
		one, err := age.ParseRecipients(strings.NewReader(text))
		if err != nil || len(one) != 1 {
			return nil, sootline.Errorf(sootline.Invalid, "it begins with age1 and is the public half of a key", "%q is no recipient", text)
		}
		all = append(all, one...)
	}
	return all, nil
}

// Identities reads a file with the secret halves of keys, one a line; no file, no
// identities.
func Identities(file string) ([]age.Identity, error) {
	if file == "" {
		return nil, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, sootline.Errorf(sootline.NotFound, "name the file with the secret half of the key", "read the key %s: %w", file, err)
	}
	defer f.Close()
	all, err := age.ParseIdentities(f)
	if err != nil { // what it says may quote the secret
		return nil, sootline.Errorf(sootline.Invalid, "it holds a line that begins with AGE-SECRET-KEY-", "%s holds no key", file)
	}
	return all, nil
}

// MakeKey writes a new key into a file that must not exist yet, readable by its
// owner alone, and gives its public half.
func MakeKey(file string) (recipient string, err error) {
	key, err := age.GenerateX25519Identity()
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("# public half: %s\n%s\n", key.Recipient(), key)
	return key.Recipient().String(), writeNew(file, []byte(text))
}

// opened decrypts what a copy holds, where it is encrypted.
func opened(in io.Reader, name string, with []age.Identity) (io.Reader, error) {
	buffered := bufio.NewReader(in)
	begin, err := buffered.Peek(len(ageMark))
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, sootline.Errorf(sootline.Unavailable, "do it again", "read %s: %w", name, err)
	}
	if string(begin) != ageMark {
		return buffered, nil
	}
	if len(with) == 0 {
		return nil, sootline.Errorf(sootline.Unavailable, "give the file with the secret half of the key", "%s is encrypted, and no key is given", name)
	}
	plain, err := age.Decrypt(buffered, with...)
	if _, wrong := errors.AsType[*age.NoIdentityMatchError](err); wrong {
		return nil, sootline.Errorf(sootline.Unavailable, "give the key whose public half it was encrypted to", "%s is encrypted to another key than the one given", name)
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Damaged, "take an earlier one", "%s cannot be decrypted: %w", name, err)
	}
	return plain, nil
}

// Keys are the two halves of what backups are encrypted with; either may be
// missing.
type Keys struct {
	To   []age.Recipient // the public halves; none: backups are not encrypted
	With []age.Identity  // the secret halves
}

// ReadKeys reads recipients, and the file with identities where one is named.
func ReadKeys(recipients []string, identities string) (keys Keys, err error) {
	if keys.To, err = Recipients(recipients); err != nil {
		return keys, err
	}
	keys.With, err = Identities(identities)
	return keys, err
}
