# What people and CI run. `make test` is everything that CI runs; it installs
# what it needs on a Debian machine that has Go.

.PHONY: demo build test long bench fmt

build:
	go build -trimpath -o build/sootline ./cmd/sootline

demo: build
	./build/sootline demo

test:
	./scripts/test

# Ten thousand random stories at all doors, instead of two hundred.
long:
	SOOTLINE_LONG=1 go test -timeout 60m ./internal/web -run 'TestStories$$' -v

bench: build
	./scripts/bench

fmt:
	go tool -modfile=tools.mod gofumpt -w .
