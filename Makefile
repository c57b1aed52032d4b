# Two commands matter: `make demo` and `make test`. The rest is for people who work on Proofwing.

CARGO ?= cargo
# Recordings with known truth; another folder of the same kind: make score RECORDINGS=…
RECORDINGS ?= ../shared/recordings

# Practice flights for `make odd`: how many, and which; the same seed flies the same lessons.
FLIGHTS ?= 8
SEED ?= 1
# Pairs of `make answers`.
PAIRS ?= 8

.PHONY: pages demo demo-flights test browser lint score odd answers bench schema doc clean

## Build the web pages into web/dist (needs Node 20 or newer).
pages:
	@web/scripts/pages.sh

## Fly the demo school's flights and the lesson of the command line anew, from data/demo/scripts (a minute).
demo-flights:
	$(CARGO) run --release --quiet --package practice --example demo_school -- data/demo

## Build pages and program, open the debrief room with an invented school, say where to look.
demo: pages
	$(CARGO) build --release --package proofwing
	target/release/proofwing demo

## Install what the tests need (pages' packages, PostgreSQL, JSBSim, Chromium) and run everything.
test: pages
	.ci/postgres .ci/jsbsim $(CARGO) test --workspace --quiet
	cd web && npm run --silent types:check && npm test --silent
	$(CARGO) build --workspace --bins --quiet
	.ci/browser

## The lesson in a real browser, against the program that `make test` built (of the whole workspace: one package
## alone resolves other features and builds the database crates again).
browser: pages
	$(CARGO) build --workspace --bins
	.ci/browser

## Format and lints, warnings are errors.
lint: pages
	$(CARGO) fmt --all -- --check
	$(CARGO) clippy --workspace --all-targets -- -D warnings
	RUSTDOCFLAGS="-D warnings" $(CARGO) doc --workspace --no-deps --quiet
	cd web && npm run --silent check

## Debrief recordings whose truth is known and print how well it went, by instrument fit.
score:
	$(CARGO) run --release --quiet --package score -- $(RECORDINGS)

## The same for lessons of an odd structure, flown now by the flight model into target/odd (another set: make odd SEED=7).
odd:
	rm -rf target/odd
	$(CARGO) run --release --quiet --package practice --example odd_lessons -- target/odd $(FLIGHTS) $(SEED)
	$(MAKE) --no-print-directory score RECORDINGS=target/odd

## Does the height ledger hold? Stalls in pairs, flown now into target/pairs (another set: make answers SEED=7).
answers:
	rm -rf target/pairs
	$(CARGO) run --release --quiet --package practice --example recovery_pairs -- target/pairs --pairs $(PAIRS) --seed $(SEED)
	$(CARGO) run --release --quiet --package pipeline --example check_ledger -- target/pairs

## Time and memory of a whole debrief beside plain readers; a person at the sliders of a what-if, then 200 readers and 10
## importers for two minutes; steps a second of the flight model beside an independent library's.
bench: pages
	$(CARGO) build --release --package proofwing --package bench --package load
	target/release/bench target/release/proofwing
	target/release/load target/release/proofwing 120
	.ci/jsbsim $(CARGO) run --release --quiet --package dynamics --example speed

## Write the JSON Schema of the debrief document, the API's description and the pages' types anew.
schema:
	$(CARGO) run --quiet --package debrief --example write_schema
	$(CARGO) run --quiet --package server --example write_openapi
	cd web && npm run --silent types

doc:
	$(CARGO) doc --workspace --no-deps

clean:
	$(CARGO) clean
	rm -rf out
