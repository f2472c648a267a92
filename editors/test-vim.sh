#!/usr/bin/env bash
# Drives a real Vim with ALE, set up by the words of other.md: test-vim.sh PATH-OF-BELLHAND.
# Both come from Debian; only when they cannot be had is the test skipped.
set -euo pipefail
name=vim
. "$(dirname "$0")/need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")" && pwd)
[ -x "$binary" ] || { echo "vim: $binary is no program" >&2; exit 2; }

has_ale() { command -v vim >/dev/null && vim -Nu NONE -es -c 'packadd ale' -c 'if exists(":ALELint") | qall! | else | cquit | endif' >/dev/null 2>&1 </dev/null; }
if ! has_ale; then
  debian vim vim-ale || true
  has_ale || skip "Vim with ALE"
fi

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
mkdir "$scratch/bin"
ln -s "$binary" "$scratch/bin/bellhand"
cp "$here/../tests/demo/evening-ferry.abc" "$scratch/score.abc"
cp "$here/../tests/demo/evening-ferry.krn" "$scratch/score.kern"
cp "$here/../tests/demo/evening-ferry.musicxml" "$scratch/score.xml"
echo "<timetable/>" > "$scratch/timetable.xml"
{
  echo 'set nocompatible noswapfile nobackup viminfo= autoread'
  echo 'let g:ale_lint_delay = 50 | let g:ale_hover_to_preview = 1 | let g:ale_linters_explicit = 1'
  echo "let g:ale_linters = {'abc': ['bellhand']}"
  echo 'packadd ale'
  echo 'filetype plugin on'
  sed -n '/^```vim$/,/^```$/p' "$here/other.md" | grep -v '^```'
  cat <<'VIM'
let s:done = 0
function! s:Ok(name)
  let s:done += 1
  call writefile(['ok ' . a:name], $OUT, 'a')
endfunction
function! s:Wait(what, Test)
  let l:start = reltime()
  while !a:Test()
    if reltimefloat(reltime(l:start)) > 120 | throw 'waited in vain for ' . a:what | endif
    sleep 20m
  endwhile
endfunction
function! s:Rules()
  return map(copy(ale#engine#GetLoclist(bufnr(''))), 'get(v:val, "code", "")')
endfunction
function! s:Go(timer)
  try
    edit $SCORE
    if &filetype isnot# 'abc' | throw 'the filetype is ' . &filetype | endif
    call s:Wait('findings', {-> index(s:Rules(), 'notation/key-signature') >= 0 && index(s:Rules(), 'mute/other-kind') >= 0})
    call s:Ok('findings are shown')
    call search('B2 d f')
    ALEHover
    call s:Wait('the preview', {-> winnr('$') > 1})
    if join(getbufline('ALEPreviewWindow', 1, '$')) !~# 'ounds' | throw 'the preview is empty' | endif
    pclose
    call s:Ok('hovering tells what a note is to the player')
    call cursor(1, 1)
    call search('^K:Bb')
    call timer_start(1500, {-> feedkeys("1\<CR>", 't')})
    ALECodeAction
    call s:Wait('the fix', {-> &modified})
    " No main loop runs in a timer, so the change is told by hand.
    ALELint
    call s:Wait('the finding to go', {-> index(s:Rules(), 'notation/key-signature') < 0})
    call s:Ok('a code action fixes what is at the cursor')
    silent write
    sleep 100m | silent! checktime
    if !search('_B2 d f', 'w') || search('con sord." z4', 'w') | throw 'writing did not fix: ' . join(getline(1, '$'), '/') | endif
    call s:Ok('writing fixes')
    for [l:file, l:kind] in [['score.kern', 'kern'], ['score.xml', 'musicxml'], ['timetable.xml', 'xml']]
      execute 'edit' fnamemodify($SCORE, ':h') . '/' . l:file
      if &filetype isnot# l:kind | throw l:file . ' is ' . &filetype | endif
    endfor
    call s:Ok('scores are known by their other endings too, and other XML is left alone')
    call writefile([s:done . ' passed, 0 failed'], $OUT, 'a')
  catch
    call writefile(['not ok ' . v:exception . ' at ' . v:throwpoint], $OUT, 'a')
  endtry
  qall!
endfunction
call timer_start(100, function('s:Go'))
VIM
} > "$scratch/vimrc"
# Vim wants a terminal; `script` lends it one.
PATH="$scratch/bin:$PATH" OUT="$scratch/out" SCORE="$scratch/score.abc" TERM=xterm HOME="$scratch" \
  timeout 600 script -qec "vim -Nu '$scratch/vimrc'" /dev/null >/dev/null 2>&1 </dev/null || true
cat "$scratch/out"
grep -q ' passed, 0 failed$' "$scratch/out"
