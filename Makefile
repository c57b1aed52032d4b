# Two commands matter: `make demo` and `make test`. The rest is for people who work on Proofwing.

CARGO ?= cargo
# Recordings with known truth; another folder of the same kind: make score RECORDINGS=…
RECORDINGS ?= ../shared/recordings

.PHONY: pages demo test lint score bench schema doc clean

## Build the web pages into web/dist (needs Node 20 or newer).
pages:
	@web/scripts/pages.sh

## Build, debrief the built-in demo flight, say where to look.
demo:
	$(CARGO) build --release --package proofwing
	target/release/proofwing demo --out out/demo

## Install what the tests need (only Rust, so far) and run everything.
test:
	$(CARGO) test --workspace --quiet

## Format and lints, warnings are errors.
lint:
	$(CARGO) fmt --all -- --check
	$(CARGO) clippy --workspace --all-targets -- -D warnings
	RUSTDOCFLAGS="-D warnings" $(CARGO) doc --workspace --no-deps --quiet

## Debrief recordings whose truth is known and print how well it went, by instrument fit.
score:
	$(CARGO) run --release --quiet --package score -- $(RECORDINGS)

## Time and memory of a whole debrief beside plain readers of the same file.
bench:
	$(CARGO) build --release --package proofwing --package bench
	target/release/bench target/release/proofwing

## Write the JSON Schema of the debrief document anew.
schema:
	$(CARGO) run --quiet --package debrief --example write_schema

doc:
	$(CARGO) doc --workspace --no-deps

clean:
	$(CARGO) clean
	rm -rf out
