# What people and CI run. `make test` is everything that CI runs; it installs
# what it needs on a Debian machine that has Go.

.PHONY: demo build test bench fmt

build:
	go build -trimpath -o build/sootline ./cmd/sootline

demo: build
	./build/sootline demo

test:
	./scripts/test

bench: build
	./scripts/bench

fmt:
	go tool -modfile=tools.mod gofumpt -w .
