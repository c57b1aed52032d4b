#!/bin/sh
# Builds the pages into web/dist, unless dist is newer than everything it is made of. Run by `make pages`.
set -eu
cd "$(dirname "$0")/.."

made=dist/index.html
if [ -f "$made" ] && [ -z "$(find src public scripts index.html package.json package-lock.json .npmrc \
  svelte.config.js tsconfig.json vite.config.ts -newer "$made" -print -quit)" ]; then
  echo "web/dist is newer than its sources: nothing to build"
  exit 0
fi

without="the command line builds without: cargo build -p proofwing --no-default-features"
if ! command -v node >/dev/null 2>&1 || ! command -v npm >/dev/null 2>&1; then
  echo "Node 20 or newer is needed to build the pages (node or npm is not found); $without" >&2
  exit 1
fi
# Vite asks for 20.19 within 20, 22.12 within 22.
if ! node -e 'const [a, b] = process.versions.node.split(".").map(Number);
  process.exit((a === 20 && b >= 19) || (a === 22 && b >= 12) || a >= 24 ? 0 : 1)'; then
  echo "Node 20 (20.19 or newer), 22 (22.12 or newer) or 24 is needed to build the pages, here is $(node --version); $without" >&2
  exit 1
fi

installed=node_modules/.package-lock.json
if [ ! -f "$installed" ] || [ package-lock.json -nt "$installed" ]; then
  npm ci --no-audit --no-fund
  # npm keeps an old date when nothing changed; the next run compares with it.
  touch "$installed"
fi
npm run --silent build
