#!/bin/sh
# make.sh BUILD_DIR OUT_DIR - writes the demonstration jobs into OUT_DIR and prints their paths, the one
# to open first before the others: a mandola half way through (make-demo.c), the lid of a writing box ready
# for its last look, a fallboard handed over with a claim a year later. The last two are told in the .jsonl
# files beside this script; their photographs are the map as it then was.
set -eu
[ $# -eq 2 ] || { echo "usage: make.sh BUILD_DIR OUT_DIR" >&2; exit 2; }
here=$(dirname "$0")
cli=$1/src/cli/rakelight-cli
out=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

import () {  # JOB LINES: into a job file, with the photographs that lie in $work/photos
  "$cli" import "$1" --photos "$work/photos" <"$2" >"$work/said"
}

picture () {  # JOB LINES: draws the job's map, and imports the lines with it as their photograph
  mkdir -p "$work/photos"
  "$cli" map "$1" "$work/map.png" --width 600 --theme light --lamp 90
  sum=$(sha256sum "$work/map.png" | cut -d ' ' -f 1)
  bytes=$(wc -c <"$work/map.png")
  # Width and height stand in the picture's head, four bytes each after the first sixteen.
  width=$(od -An -tu1 -j16 -N4 "$work/map.png" | awk '{ print (($1 * 256 + $2) * 256 + $3) * 256 + $4 }')
  height=$(od -An -tu1 -j20 -N4 "$work/map.png" | awk '{ print (($1 * 256 + $2) * 256 + $3) * 256 + $4 }')
  cp "$work/map.png" "$work/photos/$sum.png"
  sed "s/@SHA256/$sum/; s/\"n_bytes\": 0/\"n_bytes\": $((bytes))/; s/\"width_px\": 0/\"width_px\": $width/
    s/\"height_px\": 0/\"height_px\": $height/" "$2" >"$work/lines"
  import "$1" "$work/lines"
}

mkdir -p "$out" "$work/photos"
"$1/data/demo/make-demo" "$out"

box=$out/writing-box-6.rakejob
rm -f "$box"
import "$box" "$here/writing-box-6.jsonl"
echo "$box"

board=$out/fallboard-31.rakejob
rm -f "$board"
import "$board" "$here/fallboard-31-1.jsonl"
picture "$board" "$here/fallboard-31-2.jsonl"
seal=$("$cli" status --json "$board" | sed -n 's/^  "seal": "\([0-9a-f]*\)".*/\1/p')
sed "s/@SEAL/$seal/" "$here/fallboard-31-3.jsonl" >"$work/lines"
"$cli" hand-over --check --now 2024-05-21T12:00:00+02:00 "$board" >"$work/said" ||
  { cat "$work/said" >&2; exit 1; }
import "$board" "$work/lines"
picture "$board" "$here/fallboard-31-4.jsonl"
echo "$board"
