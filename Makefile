# What people and CI run. `make test` is everything that CI runs; it installs
# what it needs on a Debian machine that has Go.

.PHONY: demo build test long attack fuzz bench fmt man packages try-packages

build:
	go build -trimpath -o build/sootline ./cmd/sootline

demo: build
	./build/sootline demo

test:
	./scripts/test

# Ten thousand random stories at all doors, instead of two hundred; a hundred thousand made listings, instead of four
# hundred; the judge and its peers on all worlds, which writes docs/methods/score-levels.md anew (needs python3-statsmodels).
long:
	SOOTLINE_LONG=1 go test -timeout 60m ./internal/web -run 'TestStories$$' -v
	SOOTLINE_LONG=1 go test -timeout 60m ./internal/app -run 'TestBenchStories$$' -v
	SOOTLINE_LONG=1 go test -timeout 60m ./internal/circuit -run "Verdict" -v
	SOOTLINE_HUNTS=5000 go test -timeout 2h ./internal/fault -run 'TestHunts$$' -v
	SOOTLINE_TROUBLES=2000 SOOTLINE_PLANS=4000 go test -timeout 10m ./internal/address -run "Troubles|Plans" -v
	SOOTLINE_LISTINGS=100000 go test -timeout 3h ./internal/app -run 'TestJudged$$' -v
	SOOTLINE_BROWSER=1 go test -timeout 60m ./internal/worlds/jobs -v
	SOOTLINE_LONG=1 go test -timeout 20m ./internal/live -run 'TestTwentyStyles$$' -v
	SOOTLINE_LONG=1 go test -timeout 40m ./internal/app -run 'TestListenSoak$$' -v
	go run ./cmd/judgescore -write

# Attacks on the built program by another mind. Some still succeed: each that does is a fault to be mended.
attack:
	SOOTLINE_ATTACK=short go test -timeout 20m ./internal/attack

# Each fuzz target for a minute, on one core: for the night. docs/methods/fuzzing.md says how it counts.
fuzz:
	GOMAXPROCS=1 ./scripts/fuzz

bench: build
	./scripts/bench

fmt:
	go tool -modfile=tools.mod gofumpt -w .

# The manual pages, from what the commands say of themselves, into build/man.
man: build
	./build/sootline man build/man --day $$(git show -s --format=%cs HEAD)

# What is handed out, under dist/ with checksums; RELEASE=0.1.0 names a release.
packages:
	./scripts/packages

# Installs, runs and removes what `make packages` made, in a root of its own; as root, on Debian.
try-packages:
	./scripts/try-packages
