#!/usr/bin/env bash
# Checks what can be checked of the Helix files without Helix, which no registry here has: run.sh PATH-OF-BELLHAND.
# They are installed as the page says; the configuration is read, its parsers are compiled,
# and its server and formatter are started as it says.
set -euo pipefail
binary=$(realpath "${1:?say where the bellhand binary is}")
root=$(cd "$(dirname "$0")/../../.." && pwd)
[ -x "$binary" ] || { echo "helix: $binary is no program" >&2; exit 2; }
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
mkdir "$scratch/bin"
ln -s "$binary" "$scratch/bin/bellhand"
export HOME="$scratch" PATH="$scratch/bin:$PATH"
# The page's own commands, but for Helix itself.
sed -n '/^```sh$/,/^```$/p' "$root/editors/helix/README.md" | grep -v -e '^```' -e '^hx ' > "$scratch/install.sh"
(cd "$root" && bash -euo pipefail "$scratch/install.sh")
python3 "$root/editors/helix/test/check.py" "$scratch/.config/helix" "$root/tests/demo/evening-ferry.abc"
