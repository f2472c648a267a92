#!/usr/bin/env bash
# Packs the extension with a program inside: package.sh PATH-OF-BELLHAND TARGET OUT.vsix
# TARGET names the platform the program is for, as vsce knows it: linux-x64, darwin-arm64, win32-x64 and so on.
set -euo pipefail
binary=$(realpath "${1:?say where the bellhand binary is}")
target=${2:?say what platform it is for}
out=$(realpath -m "${3:?say where the package goes}")
cd "$(dirname "$0")"
[ -e node_modules/.package-lock.json ] || npm ci --ignore-scripts --no-audit --no-fund
name=bellhand
case $target in win32-*) name=bellhand.exe ;; esac
rm -rf bin dist
trap 'rm -rf bin LICENSE packed-readme.md' EXIT
mkdir -p bin
cp "$binary" "bin/$name"
chmod 755 "bin/$name"
cp ../../LICENSE LICENSE
cp ../../server/picture/glyphs/OFL.txt bin/OFL.txt
npm run -s check
npm run -s build
# The package's own page can show no pictures that lie in it.
grep -v '^!\[' README.md > packed-readme.md
npx --no-install vsce package --no-dependencies --allow-missing-repository --readme-path packed-readme.md --target "$target" -o "$out"
