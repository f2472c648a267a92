#!/usr/bin/env bash
# Runs the tests of all editors: test.sh PATH-OF-BELLHAND. All are run, and the last line counts them.
#
# The exit code is 1 where one failed, and in CI also where one was skipped that `may-skip` does not name.
set -uo pipefail
binary=$(realpath "${1:?say where the bellhand binary is}")
cd "$(dirname "$0")"
passed=0 failed=0 skipped=0
for test in neovim/test/run.sh emacs/test/run.sh helix/test/run.sh kate/test/run.sh ./test-vim.sh vscode/test/run.sh browser/test/run.sh; do
  name=${test%/test/run.sh} name=${name#./test-} name=${name%.sh}
  echo "== $name"
  "$test" "$binary"
  case $? in
    0) passed=$((passed + 1)) ;;
    77)
      if [ -n "${CI:-}" ] && ! grep -qx "$name" may-skip; then
        echo "== $name failed: it was skipped, and may-skip does not name it"
        failed=$((failed + 1))
      else
        skipped=$((skipped + 1))
      fi
      ;;
    *) echo "== $name failed"; failed=$((failed + 1)) ;;
  esac
done
echo "editors: $passed passed, $failed failed, $skipped skipped"
[ "$failed" -eq 0 ]
