#!/usr/bin/env bash
# A disk that fills up, or that refuses: exit status 1, one sentence, no partial file.
# usage: full_disk.sh TOOL COMMAND GAUGES RAIN
# The disk is a small tmpfs, mounted as root or in a user namespace; where neither is allowed, a
# limit on the size of a file stands for it, and the read-only disk is left out with a word.
set -euo pipefail
tool=$1 command=$2 gauges=$(realpath "$3") rain=$(realpath "$4")

if [ "${FULL_DISK_INSIDE:-}" = "" ]; then
  export FULL_DISK_INSIDE=limit
  for way in "unshare -m" "unshare -rm"; do
    if $way sh -c 'mount -t tmpfs -o size=4k none /mnt' 2>/dev/null; then
      FULL_DISK_INSIDE=tmpfs exec $way "$0" "$@"
    fi
  done
  exec "$0" "$@"
fi

work=$(mktemp -d)
trap 'umount "$work/disk" 2>/dev/null || true; rm -rf "$work"' EXIT
mkdir "$work/disk"

try() {  # what it is about, what the sentence must say, further options
  local about=$1 says=$2 status=0
  shift 2
  env -u TMPDIR "$tool" "$command" --gauges "$gauges" --rain "$rain" --out "$work/disk/out" "$@" \
    >"$work/out" 2>"$work/err" || status=$?
  [ "$status" = 1 ] || { echo "$about: exit status $status instead of 1"; cat "$work/err"; exit 1; }
  [ "$(wc -l <"$work/err")" = 1 ] || { echo "$about: not one sentence"; cat "$work/err"; exit 1; }
  grep -q "^gaugeloom: .*$says" "$work/err" || { echo "$about: the sentence does not say why"; cat "$work/err"; exit 1; }
  left=$(find "$work/disk" -mindepth 1)
  [ -z "$left" ] || { echo "$about: something was left behind: $left"; exit 1; }
  [ ! -s "$work/out" ] || { echo "$about: a summary was printed"; exit 1; }
  echo "$about: $(sed "s|$work|...|" "$work/err")"
}

if [ "$FULL_DISK_INSIDE" = tmpfs ]; then
  mount -t tmpfs -o size=16k,nr_inodes=64 none "$work/disk"
  try "full disk" "No space left"
  try "full disk, arrays in files" "temporary file.*No space left" --memory-mib 0
  mount -o remount,ro "$work/disk"
  try "read-only disk" "Read-only"
else
  trap '' XFSZ
  ulimit -f 8
  try "full disk" "too large"
  try "full disk, arrays in files" "temporary file.*too large" --memory-mib 0
  echo "read-only disk: left out, since nothing can be mounted here"
fi
