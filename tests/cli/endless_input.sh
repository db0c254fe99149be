#!/usr/bin/env bash
# Endless lines and endless columns from a pipe, under a memory limit: exit status 1 and one
# sentence, not a crash. usage: endless_input.sh TOOL GAUGES
set -euo pipefail
tool=$1 gauges=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

columns() { printf 'time'; yes ',A' | tr -d '\n'; }
line() { printf 'time,gauge,depth_mm\n'; yes 7777777 | tr -d '\n'; }
field() { printf 'time,gauge,depth_mm\n2021-03-04T01:00Z,"'; yes 'A' | tr -d '\n'; }

try() {  # what comes out of the pipe, what the sentence must say
  local status=0
  (
    ulimit -v 1500000  # KiB of address space: libraries and threads take some 500 MB of it
    set +o pipefail
    "$1" 2>/dev/null | "$tool" check --gauges "$gauges" --rain /dev/stdin --out "$work/out" --threads 2 >"$work/said" 2>"$work/err"
  ) || status=$?
  [ "$status" = 1 ] || { echo "$1: exit status $status instead of 1"; cat "$work/err"; exit 1; }
  [ "$(wc -l <"$work/err")" = 1 ] || { echo "$1: not one sentence"; cat "$work/err"; exit 1; }
  grep -q "^gaugeloom: .*$2" "$work/err" || { echo "$1: the sentence does not say why"; cat "$work/err"; exit 1; }
  [ ! -e "$work/out" ] || { echo "$1: there is output"; exit 1; }
  echo "$1: $(cat "$work/err")"
}

try columns "16 MiB\|columns"
try line "16 MiB"
try field "16 MiB"
