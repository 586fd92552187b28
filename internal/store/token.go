package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Token lets a program in.
type Token struct {
	Name  string
	Role  string
	Key   string // a hash of the one that the program holds
	Maker string // who made it
	Mark  string // the maker's, when it was made
	Added time.Time
	Until time.Time
	Scope Scope
}

const selectToken = "SELECT name, role, key, maker, mark, added, until FROM token "

// AddToken keeps a token, and tells whether there was none of that name.
func (tx *Tx) AddToken(t Token) (bool, error) {
	fresh, err := tx.changed("INSERT INTO token (folded, name, role, key, maker, mark, added, until) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (folded) DO NOTHING",
		fold(t.Name), t.Name, t.Role, t.Key, t.Maker, t.Mark, t.Added.UnixMilli(), t.Until.UnixMilli())
	if err != nil || !fresh {
		return false, err
	}
	return true, tx.putScope(tokenHolder(t.Name), t.Scope)
}

// DropToken ends a token, and tells whether there was one.
func (tx *Tx) DropToken(name string) (bool, error) {
	if err := tx.dropScope(tokenHolder(name)); err != nil {
		return false, err
	}
	return tx.changed("DELETE FROM token WHERE folded = $1", fold(name))
}

// TokenByKey finds the token whose key has that hash; nil when there is none.
func (s *Store) TokenByKey(ctx context.Context, key string) (*Token, error) {
	return s.view(ctx).token("WHERE key = $1", key)
}

// Token finds a token by its name, as the transaction sees it; nil when there is none.
func (tx *Tx) Token(name string) (*Token, error) {
	return tx.view().token("WHERE folded = $1", fold(name))
}

func (v view) token(where, of string) (*Token, error) {
	t, err := scanToken(v.q.QueryRowContext(v.ctx, selectToken+where, of).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	t.Scope, err = v.scope(tokenHolder(t.Name))
	return &t, err
}

// Tokens lists the tokens, by name.
func (s *Store) Tokens(ctx context.Context) ([]Token, error) { return s.view(ctx).tokens() }

// Tokens lists the tokens, as the transaction sees them.
func (tx *Tx) Tokens() ([]Token, error) { return tx.view().tokens() }

func (v view) tokens() ([]Token, error) {
	tokens, err := gathered(v, scanToken, selectToken+"ORDER BY folded")
	if err != nil {
		return nil, err
	}
	scopes, err := v.scopes("")
	for i := range tokens {
		tokens[i].Scope = scopes[tokenHolder(tokens[i].Name)]
	}
	return tokens, err
}

func scanToken(scan func(...any) error) (Token, error) {
	var t Token
	var added, until int64
	err := scan(&t.Name, &t.Role, &t.Key, &t.Maker, &t.Mark, &added, &until)
	t.Added, t.Until = time.UnixMilli(added).UTC(), time.UnixMilli(until).UTC()
	return t, err
}
