package keep

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"

	"sootline"
)

// bucket is a place in object storage that speaks the S3 protocol.
type bucket struct {
	client       *minio.Client
	name, prefix string // the prefix is empty or ends with a slash
}

const (
	s3Begins = "s3://"
	// partSize is how much of a copy is held in memory on its way; 10,000 parts are
	// the most that the protocol takes, so that a copy has 160 GB at most.
	partSize = 16 << 20
	s3Tries  = 3
)

// Storage says where object storage is reached, and with which keys.
type Storage struct {
	Endpoint                     string // https://HOST, or http:// on this machine
	KeyID, Secret, Token, Region string
}

// StorageOf takes the keys from the environment, by the names that are usual for
// them.
func StorageOf(endpoint string) Storage {
	return Storage{
		Endpoint: endpoint, KeyID: os.Getenv("AWS_ACCESS_KEY_ID"), Secret: os.Getenv("AWS_SECRET_ACCESS_KEY"),
		Token: os.Getenv("AWS_SESSION_TOKEN"), Region: os.Getenv("AWS_REGION"),
	}
}

// IsPlace tells whether a text is a place, and not the name of a file.
func IsPlace(text string) bool {
	info, err := os.Stat(text)
	return strings.HasPrefix(text, s3Begins) || err == nil && info.IsDir()
}

// Open reads a place: s3://BUCKET or s3://BUCKET/PREFIX, else a folder.
func Open(text string, storage Storage) (Place, error) {
	rest, isBucket := strings.CutPrefix(text, s3Begins)
	if !isBucket {
		return openFolder(text)
	}
	name, prefix, _ := strings.Cut(rest, "/")
	if name == "" {
		return nil, sootline.Errorf(sootline.Invalid, "for example s3://backups/works", "%q names no bucket", text)
	}
	if prefix = strings.Trim(prefix, "/"); prefix != "" {
		prefix += "/"
	}
	client, err := storage.client()
	if err != nil {
		return nil, err
	}
	return &bucket{client, name, prefix}, nil
}

func openFolder(text string) (Place, error) {
	if text == "" || strings.Contains(text, "://") {
		return nil, sootline.Errorf(sootline.Invalid, "name a folder, or s3://BUCKET/PREFIX", "%q is no place", text)
	}
	if info, err := os.Stat(text); err == nil && !info.IsDir() {
		return nil, sootline.Errorf(sootline.Invalid, "name a folder, or s3://BUCKET/PREFIX", "%s is a file, and no place for backups", text)
	}
	path, err := filepath.Abs(text)
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "name it from the root on", "folder %s: %w", text, err)
	}
	return folder(path), nil
}

func (s Storage) client() (*minio.Client, error) {
	at, err := url.Parse(s.Endpoint)
	if err != nil || at.Host == "" || strings.Trim(at.Path, "/") != "" || at.Scheme != "https" && at.Scheme != "http" {
		return nil, sootline.Errorf(sootline.Invalid, "name it, for example https://storage.example.org", "%q is no address of object storage", s.Endpoint)
	}
	if ip := net.ParseIP(at.Hostname()); at.Scheme == "http" && at.Hostname() != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, sootline.Errorf(sootline.Invalid, "name it with https", "what goes to %s would cross the network unencrypted", s.Endpoint)
	}
	if s.KeyID == "" || s.Secret == "" {
		return nil, sootline.Errorf(sootline.Invalid, "set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY", "the keys to object storage are not set")
	}
	client, err := minio.New(at.Host, &minio.Options{
		Creds: credentials.NewStaticV4(s.KeyID, s.Secret, s.Token), Secure: at.Scheme == "https", Region: s.Region, MaxRetries: s3Tries,
		Transport: &http.Transport{
			Proxy: http.ProxyFromEnvironment, DialContext: (&net.Dialer{Timeout: 15 * time.Second}).DialContext,
			TLSHandshakeTimeout: 15 * time.Second, ResponseHeaderTimeout: time.Minute, IdleConnTimeout: time.Minute, MaxIdleConns: 4,
		},
	})
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "look at its address", "object storage at %s: %w", s.Endpoint, err)
	}
	return client, nil
}

func (b *bucket) String() string { return s3Begins + b.name + "/" + strings.TrimSuffix(b.prefix, "/") }

func (b *bucket) Names(ctx context.Context) ([]Named, error) {
	ctx, cancel := context.WithCancel(ctx) // where the loop ends early, so does the listing
	defer cancel()
	var all []Named
	for o := range b.client.ListObjects(ctx, b.name, minio.ListObjectsOptions{Prefix: b.prefix}) {
		if o.Err != nil {
			return nil, b.trouble("list what is in it", o.Err)
		}
		all = append(all, Named{strings.TrimPrefix(o.Key, b.prefix), o.Size})
	}
	return all, nil
}

// Put sends parts, which become an object when the last has arrived.
func (b *bucket) Put(ctx context.Context, name string, content io.Reader) error {
	_, err := b.client.StatObject(ctx, b.name, b.prefix+name, minio.StatObjectOptions{})
	if err == nil {
		return isThere(name, b)
	}
	if minio.ToErrorResponse(err).Code != minio.NoSuchKey {
		return b.trouble("write to it", err)
	}
	from := &failing{from: content}
	_, err = b.client.PutObject(ctx, b.name, b.prefix+name, from, -1, minio.PutObjectOptions{PartSize: partSize, ContentType: "application/octet-stream"})
	if from.err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "read what was to go to %s: %w", b, from.err)
	}
	return b.trouble("write to it", err)
}

func (b *bucket) Open(ctx context.Context, name string) (io.ReadCloser, error) {
	object, err := b.client.GetObject(ctx, b.name, b.prefix+name, minio.GetObjectOptions{})
	if err != nil {
		return nil, b.trouble("read from it", err)
	}
	if _, err := object.Stat(); err != nil { // the first request is made here
		if minio.ToErrorResponse(err).Code == minio.NoSuchKey {
			err = notThere(name, b)
		}
		return nil, errors.Join(b.trouble("read from it", err), object.Close())
	}
	return object, nil
}

func (b *bucket) Remove(ctx context.Context, name string) error {
	return b.trouble("remove from it", b.client.RemoveObject(ctx, b.name, b.prefix+name, minio.RemoveObjectOptions{}))
}

func (b *bucket) Sweep(ctx context.Context, before time.Time) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	core := minio.Core{Client: b.client}
	for begun := range b.client.ListIncompleteUploads(ctx, b.name, b.prefix, false) {
		if begun.Err != nil {
			return b.trouble("list what is in it", begun.Err)
		}
		if _, ours := ParseName(strings.TrimPrefix(begun.Key, b.prefix)); !ours || !begun.Initiated.Before(before) {
			continue
		}
		if err := core.AbortMultipartUpload(ctx, b.name, begun.Key, begun.UploadID); err != nil {
			return b.trouble("remove from it", err)
		}
	}
	return nil
}

// trouble words what the storage answered, or that it did not answer.
func (b *bucket) trouble(doing string, err error) error {
	if err == nil || sootline.ErrorCode(err) != "" {
		return err
	}
	host := b.client.EndpointURL().Host
	switch minio.ToErrorResponse(err).Code {
	case minio.NoSuchBucket:
		return sootline.Errorf(sootline.NotFound, "make it, or name another place", "there is no bucket %s at %s", b.name, host)
	case minio.AccessDenied, minio.InvalidAccessKeyID, minio.SignatureDoesNotMatch:
		return sootline.Errorf(sootline.Unavailable, "look at AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY and what they may do", "the storage at %s does not let these keys %s", host, doing)
	case "":
	default:
		return sootline.Errorf(sootline.Unavailable, "do it again later, or look at the storage", "%s cannot be reached to %s: %w", b, doing, err)
	}
	if _, unknown := errors.AsType[*net.DNSError](err); unknown {
		return sootline.Errorf(sootline.Unavailable, "look at the network and at the address", "nobody knows the address %s of %s", host, b)
	}
	if asked, ok := errors.AsType[*url.Error](err); ok {
		err = asked.Err // without the address that was asked, which holds no news
	}
	return sootline.Errorf(sootline.Unavailable, "look at the network", "the storage at %s does not answer: %w", host, err)
}
