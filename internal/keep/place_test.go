package keep_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"filippo.io/age"

	"sootline"
	"sootline/internal/gateway"
	"sootline/internal/keep"
)

var began = time.Date(2026, 11, 30, 8, 15, 0, 0, time.UTC)

// TestPlaces tries every kind of place by one and the same test.
func TestPlaces(t *testing.T) {
	t.Run("folder", func(t *testing.T) {
		tryPlace(t, open(t, filepath.Join(t.TempDir(), "backups"), ""))
	})
	t.Run("bucket", func(t *testing.T) {
		endpoint := startStorage(t)
		tryPlace(t, open(t, "s3://backups/works", endpoint))
		tryPlace(t, open(t, "s3://backups", endpoint)) // in which the other's folder is not seen
	})
}

func startStorage(t *testing.T) string {
	endpoint, buckets := gateway.Start(t)
	if err := os.Mkdir(filepath.Join(buckets, "backups"), 0o700); err != nil {
		t.Fatal(err)
	}
	return endpoint
}

func open(t *testing.T, place, endpoint string) keep.Place {
	t.Helper()
	p, err := keep.Open(place, keep.Storage{Endpoint: endpoint, KeyID: gateway.KeyID, Secret: gateway.Secret, Region: "us-east-1"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func tryPlace(t *testing.T, place keep.Place) {
	t.Helper()
	key, err := age.GenerateX25519Identity()
	if err != nil {
		t.Fatal(err)
	}
	content := noise(37_000_000) // more than two parts
	file := filepath.Join(t.TempDir(), "copy.db")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, to := range [][]age.Recipient{nil, {key.Recipient()}} {
		kept, err := keep.Put(t.Context(), place, file, began.Add(time.Duration(i)*time.Hour), to)
		if err != nil {
			t.Fatal(err)
		}
		if kept.Encrypted != (i == 1) || kept.Size < int64(len(content)) {
			t.Errorf("kept %+v", kept)
		}
		back := filepath.Join(t.TempDir(), "back.db")
		if err := keep.Fetch(t.Context(), place, kept, back, []age.Identity{key}); err != nil {
			t.Fatal(err)
		}
		if got, _ := os.ReadFile(back); !bytes.Equal(got, content) {
			t.Errorf("%s comes back as something else (%d bytes)", kept.Name(), len(got))
		}
	}
	if _, err := keep.Put(t.Context(), place, file, began, nil); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("put over another: %v", err)
	}
	tryList(t, place)
	tryHalf(t, place)
}

func tryList(t *testing.T, place keep.Place) {
	t.Helper()
	all, err := keep.List(t.Context(), place)
	if err != nil || len(all) != 2 || all[0].Name() != "book-20261130T091500Z.db.age" || all[1].Name() != "book-20261130T081500Z.db" {
		t.Fatalf("listed %+v, %v", all, err)
	}
	chosen, err := keep.Choose(t.Context(), place, began.Add(time.Minute), began.Add(time.Hour))
	if err != nil || chosen != all[1] {
		t.Errorf("chose %+v, %v", chosen, err)
	}
	if _, err := keep.Choose(t.Context(), place, began.Add(-time.Minute), began.Add(time.Hour)); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("chose before the first: %v", err)
	}
	if _, err := place.Open(t.Context(), "book-20200101T000000Z.db"); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("opened what is not there: %v", err)
	}
	if err := place.Remove(t.Context(), all[1].Name()); err != nil {
		t.Fatal(err)
	}
	if left, err := keep.List(t.Context(), place); err != nil || len(left) != 1 {
		t.Errorf("after removing one: %+v, %v", left, err)
	}
}

// tryHalf breaks off on the way: nothing of that name must appear.
func tryHalf(t *testing.T, place keep.Place) {
	t.Helper()
	broken := io.MultiReader(bytes.NewReader(noise(20_000_000)), breaks{})
	name := keep.Copy{At: began.Add(3 * time.Hour)}.Name()
	if err := place.Put(t.Context(), name, broken); err == nil {
		t.Error("half a copy was taken")
	}
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := place.Put(ctx, name, &slow{ctx: ctx}); err == nil {
		t.Error("a copy that was broken off was taken")
	}
	if all, err := keep.List(t.Context(), place); err != nil || len(all) != 1 {
		t.Errorf("after a half copy: %+v, %v", all, err)
	}
	if err := place.Sweep(t.Context(), time.Now().Add(time.Hour)); err != nil {
		t.Error(err)
	}
}

type breaks struct{}

func (breaks) Read([]byte) (int, error) { return 0, errors.New("the disk is gone") }

type slow struct {
	ctx context.Context
}

func (s *slow) Read(b []byte) (int, error) {
	select {
	case <-s.ctx.Done():
		return 0, s.ctx.Err()
	case <-time.After(time.Millisecond):
		return min(len(b), 1000), nil
	}
}

func noise(n int) []byte {
	r := rand.NewChaCha8([32]byte{1})
	b := make([]byte, n)
	if _, err := r.Read(b); err != nil {
		panic(err)
	}
	return b
}

// TestTrouble wants one sentence, with a way out, of whatever does not work.
func TestTrouble(t *testing.T) {
	file := filepath.Join(t.TempDir(), "copy.db")
	if err := os.WriteFile(file, noise(100_000), 0o600); err != nil {
		t.Fatal(err)
	}
	nobody := "http://127.0.0.1:1"
	noKeys := keep.Storage{Endpoint: nobody}
	tell := map[string]func() error{
		"no network": func() error {
			_, err := keep.Put(t.Context(), open(t, "s3://backups/works", nobody), file, began, nil)
			return err
		},
		"unknown name": func() error {
			_, err := keep.List(t.Context(), open(t, "s3://backups/works", "https://storage.invalid"))
			return err
		},
		"no folder above": func() error {
			_, err := keep.Put(t.Context(), open(t, filepath.Join(t.TempDir(), "not mounted", "backups"), ""), file, began, nil)
			return err
		},
		"no folder": func() error {
			_, err := keep.List(t.Context(), open(t, filepath.Join(t.TempDir(), "backups"), ""))
			return err
		},
		"a file":       func() error { _, err := keep.Open(file, keep.Storage{}); return err },
		"no keys":      func() error { _, err := keep.Open("s3://backups", noKeys); return err },
		"no endpoint":  func() error { _, err := keep.Open("s3://backups", keep.Storage{}); return err },
		"unencrypted":  func() error { _, err := keep.Open("s3://b", keep.Storage{Endpoint: "http://192.0.2.1"}); return err },
		"other scheme": func() error { _, err := keep.Open("ftp://b", keep.Storage{}); return err },
		"no recipient": func() error { _, err := keep.Recipients([]string{"age1nonsense"}); return err },
		"no key":       func() error { _, err := keep.Identities(file); return err },
	}
	for name, try := range tell {
		t.Run(name, func(t *testing.T) {
			err := try()
			if sootline.ErrorCode(err) == "" || sootline.ErrorHint(err) == "" || strings.ContainsAny(err.Error(), "\n") {
				t.Fatalf("told: %v (%s)", err, sootline.ErrorHint(err))
			}
			t.Log(err, "-", sootline.ErrorHint(err))
		})
	}
}

// TestStorageTrouble has the server refuse.
func TestStorageTrouble(t *testing.T) {
	endpoint := startStorage(t)
	wrong, err := keep.Open("s3://backups", keep.Storage{Endpoint: endpoint, KeyID: gateway.KeyID, Secret: "another", Region: "us-east-1"})
	if err != nil {
		t.Fatal(err)
	}
	for name, place := range map[string]keep.Place{"wrong key": wrong, "no bucket": open(t, "s3://nowhere", endpoint)} {
		if _, err := keep.List(t.Context(), place); sootline.ErrorHint(err) == "" {
			t.Errorf("%s: %v", name, err)
		} else {
			t.Log(name, err, "-", sootline.ErrorHint(err))
		}
		if err := place.Put(t.Context(), "book-20261130T081500Z.db", strings.NewReader("x")); sootline.ErrorHint(err) == "" {
			t.Errorf("%s, writing: %v", name, err)
		}
	}
}

// TestWrongKey: nothing is left of a copy that cannot be decrypted, or was cut.
func TestWrongKey(t *testing.T) {
	one, _ := age.GenerateX25519Identity()
	other, _ := age.GenerateX25519Identity()
	folder := t.TempDir()
	file, place := filepath.Join(folder, "copy.db"), open(t, filepath.Join(folder, "backups"), "")
	if err := os.WriteFile(file, noise(300_000), 0o600); err != nil {
		t.Fatal(err)
	}
	kept, err := keep.Put(t.Context(), place, file, began, []age.Recipient{one.Recipient()})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, "backups", kept.Name())
	sealed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	back := filepath.Join(folder, "back.db")
	tries := []struct {
		name string
		text []byte
		with []age.Identity
	}{
		{"another key", sealed, []age.Identity{other}},
		{"no key", sealed, nil},
		{"cut short", sealed[:len(sealed)-10], []age.Identity{one}},
		{"cut to the head", sealed[:100], []age.Identity{one}},
		{"flipped", flipped(sealed), []age.Identity{one}},
	}
	for _, try := range tries {
		if err := os.WriteFile(path, try.text, 0o600); err != nil {
			t.Fatal(err)
		}
		err := keep.Fetch(t.Context(), place, kept, back, try.with)
		if sootline.ErrorHint(err) == "" {
			t.Errorf("%s: %v", try.name, err)
		}
		if _, err := os.Lstat(back); err == nil {
			t.Errorf("%s: something is left of it", try.name)
		}
	}
}

func flipped(b []byte) []byte {
	b = bytes.Clone(b)
	b[len(b)/2] ^= 1
	return b
}

// TestDecrypt opens a copy that lies in a file of any name.
func TestDecrypt(t *testing.T) {
	key, _ := age.GenerateX25519Identity()
	folder := t.TempDir()
	plain, sealed, back := filepath.Join(folder, "plain"), filepath.Join(folder, "sealed"), filepath.Join(folder, "back")
	if err := os.WriteFile(plain, noise(100_000), 0o600); err != nil {
		t.Fatal(err)
	}
	in, _ := age.EncryptReader(bytes.NewReader(noise(100_000)), key.Recipient())
	text, err := io.ReadAll(in)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(sealed, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if keep.Sealed(plain) || !keep.Sealed(sealed) || keep.Sealed(back) {
		t.Error("what is encrypted is not told from what is not")
	}
	if err := keep.Decrypt(sealed, back, []age.Identity{key}); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(back); !bytes.Equal(got, noise(100_000)) {
		t.Error("it comes back as something else")
	}
}
