#!/usr/bin/env bash
# Packs the extension, installs it in the real workbench and drives that in a headless browser:
# run.sh PATH-OF-BELLHAND [--pictures]. With --pictures the README's pictures are made anew from what was seen on the way.
# Workbench and browser come from npm and Debian; only when they cannot be had is the test skipped.
set -euo pipefail
name=vscode
. "$(dirname "$0")/../../need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")/.." && pwd)
root=$(cd "$here/../.." && pwd)
[ -x "$binary" ] || { echo "vscode: $binary is no program" >&2; exit 2; }
out="$root/tests/out/vscode"
mkdir -p "$out"

browser() { command -v chromium || command -v chromium-browser || command -v google-chrome || true; }
command -v npm >/dev/null || skip npm
command -v python3 >/dev/null || skip python3
node "$here/settings.mjs" "$binary" --check
if [ -z "$(browser)" ] || ! command -v rg >/dev/null; then
  debian chromium ripgrep fonts-dejavu-core || skip "a browser"
fi
cache="${XDG_CACHE_HOME:-$HOME/.cache}/bellhand-editors/workbench"
workbench="$cache/node_modules/code-server/lib/vscode"
if [ ! -e "$cache/complete" ]; then
  mkdir -p "$cache"
  quiet="--ignore-scripts --no-audit --no-fund --loglevel=error"
  # shellcheck disable=SC2086
  { cd "$cache" && { [ -e package.json ] || npm init -y >/dev/null; } &&
    npm install $quiet code-server@4.100.3 playwright-core@1 &&
    cd "$workbench" && npm install $quiet --omit=dev &&
    mkdir -p node_modules/@vscode/ripgrep/bin && ln -sf "$(command -v rg)" node_modules/@vscode/ripgrep/bin/rg &&
    touch "$cache/complete"; } >&2 || skip "the workbench"
fi

scratch=$(mktemp -d)
server=
stop() { if [ -n "$server" ]; then kill "$server" 2>/dev/null || true; wait "$server" 2>/dev/null || true; server=; fi; }
trap 'stop; rm -rf "$scratch"' EXIT

# The machine's kind as the packer names it; the package is for this machine.
case $(uname -s)-$(uname -m) in
  Linux-x86_64) target=linux-x64 ;; Linux-aarch64) target=linux-arm64 ;;
  Darwin-arm64) target=darwin-arm64 ;; Darwin-x86_64) target=darwin-x64 ;;
  *) echo "vscode: no package is made for $(uname -sm)" >&2; exit 2 ;;
esac
"$here/package.sh" "$binary" "$target" "$scratch/bellhand.vsix" >"$scratch/package.log" 2>&1 || { cat "$scratch/package.log"; exit 1; }
cd "$here"
npm run -s build:test >/dev/null 2>&1

export EXTENSIONS_GALLERY='{"serviceUrl":"","itemUrl":"","resourceUrlTemplate":"","controlUrl":"","recommendationsUrl":""}'
export BELLHAND_TEST_MODULES="$cache/node_modules" BELLHAND_TEST_BINARY="$binary"
BELLHAND_TEST_CHROMIUM=$(browser)
export BELLHAND_TEST_CHROMIUM
# Nothing of the machine's own bellhand may be found before a test puts one there.
PATH=$(printf %s "$PATH" | tr : '\n' | while read -r folder; do [ -e "$folder/bellhand" ] || printf '%s:' "$folder"; done)
export PATH="${PATH%:}"
flags=(--extensions-dir "$scratch/ext" --server-data-dir "$scratch/sd" --user-data-dir "$scratch/ud" --accept-server-license-terms)
mkdir -p "$scratch/sd/data/Machine" "$scratch/ud/User"
cat > "$scratch/sd/data/Machine/settings.json" <<'JSON'
{ "telemetry.telemetryLevel": "off", "update.mode": "none", "extensions.autoUpdate": false, "extensions.autoCheckUpdates": false,
  "workbench.startupEditor": "none", "workbench.tips.enabled": false, "git.enabled": false, "files.autoSave": "off",
  "security.workspace.trust.startupPrompt": "never", "security.workspace.trust.banner": "never" }
JSON
cp "$scratch/sd/data/Machine/settings.json" "$scratch/ud/User/settings.json"
node "$workbench/out/server-main.js" "${flags[@]}" --install-extension "$scratch/bellhand.vsix" --force >"$scratch/install.log" 2>&1 ||
  { cat "$scratch/install.log"; exit 1; }

# serve FLAG...: starts the workbench on a free port, and says where in $base.
serve() {
  : >"$scratch/server.log"
  node "$workbench/out/server-main.js" "${flags[@]}" --host 127.0.0.1 --port 0 --without-connection-token --telemetry-level off "$@" \
    >"$scratch/server.log" 2>&1 &
  server=$!
  for _ in $(seq 1200); do
    port=$(sed -n 's/.*Extension host agent listening on \([0-9]*\).*/\1/p' "$scratch/server.log")
    [ -z "$port" ] || break
    sleep 0.1
  done
  [ -n "$port" ] || { cat "$scratch/server.log"; exit 1; }
  base="http://127.0.0.1:$port"
}
# folder NAME: a workspace with the demo in it.
folder() {
  mkdir -p "$scratch/$1"
  cp "$root"/tests/demo/evening-ferry.{abc,krn,musicxml} "$scratch/$1/"
  cp "$root/tests/demo/evening-ferry.abc" "$scratch/$1/problems.abc"
  mkdir -p "$scratch/packed/META-INF"
  cp "$root/tests/demo/evening-ferry.musicxml" "$scratch/packed/score.xml"
  echo '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>' > "$scratch/packed/META-INF/container.xml"
  (cd "$scratch/packed" && python3 -m zipfile -c "$scratch/$1/packed.mxl" META-INF/ score.xml)
  printf 'X:1\nT:Evening Ferry, the whistle\nM:4/4\nL:1/4\nK:D\nV:1 name="Flute"\nd2 f a |]\n' > "$scratch/$1/no-horn.abc"
  { printf 'X:1\nT:The Long Crossing\nM:4/4\nL:1/4\nQ:1/4=100\nK:none\nV:1 name="Horn in F" transpose=-7\n'
    printf 'c2 d e | f2 g a | ^c4- | c2 z2 |\n%.0s' $(seq 399); printf 'c2 d e | f2 g a | ^c4- | c4'; } > "$scratch/$1/long-crossing.abc"
}

# drive ARGUMENT...: what the extension itself has logged is shown when something fails.
drive() {
  if ! node test/workbench.mjs "$@"; then
    find "$scratch/sd" "$scratch/ud" -name "*.log" | while read -r log; do echo "# $log"; tail -40 "$log"; done; cat "$scratch/server.log" "$scratch/install.log"
    exit 1
  fi
}

folder mouse
mkdir "$scratch/mouse-empty"
folder host
serve --disable-workspace-trust
drive mouse "$base" "$scratch/mouse" "$out/findings.png"
drive host "$base" "$scratch/host" "$out/host.png" "$here/test/host" "$here/dist-test/host.js"
stop

# Two folders in one window, one of which has settings of its own.
folder pier
folder quay
mkdir "$scratch/pier/.vscode"
echo '{ "bellhand.rules": { "mute/other-kind": "off" } }' > "$scratch/pier/.vscode/settings.json"
echo '{ "folders": [{ "path": "pier" }, { "path": "quay" }] }' > "$scratch/ferry.code-workspace"
serve --disable-workspace-trust
drive host "$base" "$scratch/ferry.code-workspace" "$out/folders.png" "$here/test/host" "$here/dist-test/host.js"
stop

# A workspace that would have a program of its making run.
folder untrusted
mkdir -p "$scratch/untrusted/.vscode" "$scratch/untrusted/target/release"
printf '#!/bin/sh\ntouch "%s"\n' "$scratch/was-run" > "$scratch/untrusted/target/release/bellhand"
chmod +x "$scratch/untrusted/target/release/bellhand"
printf '{ "bellhand.path": "%s" }\n' "$scratch/untrusted/target/release/bellhand" > "$scratch/untrusted/.vscode/settings.json"
export BELLHAND_TEST_TRUST=no
serve
drive host "$base" "$scratch/untrusted" "$out/untrusted.png" "$here/test/host" "$here/dist-test/host.js"
[ ! -e "$scratch/was-run" ] || { echo "not ok the workspace's program was run"; exit 1; }

if [ "${2:-}" = --pictures ]; then
  cp "$out/findings.png" "$out/panel.png" "$here/images/"
fi
