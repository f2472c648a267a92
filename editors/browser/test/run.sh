#!/usr/bin/env bash
# Drives both pages of a class in a real browser: run.sh PATH-OF-BELLHAND [--pictures]. With --pictures the README's
# pictures are made anew from what was seen on the way. What is needed comes from npm and Debian; only when it cannot be
# had are the tests skipped.
set -euo pipefail
name=browser
. "$(dirname "$0")/../../need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")/.." && pwd)
root=$(cd "$here/../.." && pwd)
[ -x "$binary" ] || { echo "browser: $binary is no program" >&2; exit 2; }
out="$root/tests/out/browser"
mkdir -p "$out"

browser() { command -v chromium || command -v chromium-browser || command -v google-chrome || true; }
command -v npm >/dev/null || skip npm
if [ -z "$(browser)" ]; then
  debian chromium fonts-dejavu-core || skip "a browser"
fi
cache="${XDG_CACHE_HOME:-$HOME/.cache}/bellhand-editors/browser"
if [ ! -e "$cache/complete" ]; then
  mkdir -p "$cache"
  { cd "$cache" && { [ -e package.json ] || npm init -y >/dev/null; } &&
    npm install --ignore-scripts --no-audit --no-fund --loglevel=error playwright-core@1 axe-core@4 && touch "$cache/complete"; } >&2 || skip "what drives a browser"
fi

[ -e "$here/node_modules/esbuild" ] ||
  (cd "$here" && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error >&2) || skip "what bundles a page"

BELLHAND_TEST_CHROMIUM=$(browser)
export BELLHAND_TEST_CHROMIUM BELLHAND_TEST_MODULES="$cache/node_modules"
node "$here/test/drive.mjs" "$binary" "$out"
node "$here/test/lesson.mjs" "$binary" "$out"
if [ "${2:-}" = --pictures ]; then
  cp "$out/wall.png" "$out/desk.png" "$out/lesson-before.png" "$out/lesson-after.png" "$here/images/"
fi
