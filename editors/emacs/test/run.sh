#!/usr/bin/env bash
# Drives the package in a real Emacs with Eglot: run.sh PATH-OF-BELLHAND.
# Without them on the machine they are taken from Debian; only when they cannot be had is the test skipped.
set -euo pipefail
name=emacs
. "$(dirname "$0")/../../need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")/.." && pwd)
root=$(cd "$here/../.." && pwd)
[ -x "$binary" ] || { echo "emacs: $binary is no program" >&2; exit 2; }

# Debian keeps packages where -Q does not look.
paths='(let ((place "/usr/share/emacs/site-lisp/elpa/"))
  (when (file-directory-p place) (let ((default-directory place)) (normal-top-level-add-subdirs-to-load-path))))'
has_eglot() { command -v emacs >/dev/null && emacs -Q --batch --eval "$paths" --eval "(require 'eglot)" >/dev/null 2>&1; }
if ! has_eglot; then
  debian emacs-nox elpa-eglot || true
  has_eglot || skip "Emacs with Eglot"
fi

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp "$here/bellhand.el" "$root"/tests/demo/evening-ferry.{abc,krn,musicxml} "$scratch/"
cd "$scratch"
emacs -Q --batch --eval "$paths" --eval '(setq byte-compile-error-on-warn t)' -f batch-byte-compile bellhand.el
emacs -Q --batch --eval "(require 'checkdoc)" --eval "(setq checkdoc-verb-check-experimental-flag nil)" \
  --eval '(let (bad) (let ((checkdoc-create-error-function (lambda (text &rest _) (push text bad) nil)))
    (with-current-buffer (find-file-noselect "bellhand.el") (checkdoc-current-buffer t)))
    (when bad (message "%s" (mapconcat (function identity) bad "\n")) (kill-emacs 1)))'
HOME="$scratch" BELLHAND="$binary" SCORE="$scratch/evening-ferry.abc" timeout 600 \
  emacs -Q --batch --eval "$paths" -L "$scratch" -l "$here/test/drive.el"
