package web

import (
	"bytes"
	"html/template"
	"net/http"
)

// TrustPages answers phones that do not trust this server yet, over plain HTTP: the
// certificate of its authority, and what to do with it. Nothing of any book is here,
// and whoever changes the certificate on the way is found by its fingerprint.
func TrustPages(trust Trust) (http.Handler, error) {
	page, err := template.ParseFS(pageFiles, "page/visit_trust.html")
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	if err := page.Execute(&text, trust); err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Write(text.Bytes()) //nolint:errcheck // whoever went away asks again
	})
	mux.HandleFunc("GET /authority.crt", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/x-x509-ca-cert")
		w.Write(trust.Authority) //nolint:errcheck // as above
	})
	mux.HandleFunc("GET /sootline.css", func(w http.ResponseWriter, r *http.Request) {
		http.ServeFileFS(w, r, staticFiles, "static/sootline.css")
	})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'")
		w.Header().Set("X-Content-Type-Options", "nosniff")
		mux.ServeHTTP(w, r)
	}), nil
}
