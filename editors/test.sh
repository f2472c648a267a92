#!/usr/bin/env bash
# Runs the tests of all editors: test.sh PATH-OF-BELLHAND. All are run; the exit code tells whether one failed.
set -uo pipefail
binary=$(realpath "${1:?say where the bellhand binary is}")
cd "$(dirname "$0")"
failed=0
for test in neovim/test/run.sh emacs/test/run.sh helix/test/run.sh kate/test/run.sh ./test-vim.sh vscode/test/run.sh browser/test/run.sh; do
  echo "== $test"
  "$test" "$binary" || { failed=$((failed + 1)); echo "== $test failed"; }
done
[ "$failed" -eq 0 ]
