#!/bin/sh
# make.sh BUILD_DIR OUT_DIR - writes the demonstration jobs into OUT_DIR and prints their paths, the one
# to open first before the others: a mandola half way through (make-demo.c), the lid of a writing box ready
# for its last look, a fallboard handed over with a claim a year later. The last two are told in the .jsonl
# files beside this script. Their photographs are taken between these by a camera that is reckoned
# (take-photo.c), of what the job says at that moment.
set -eu
[ $# -eq 2 ] || { echo "usage: make.sh BUILD_DIR OUT_DIR" >&2; exit 2; }
here=$(dirname "$0")
cli=$1/src/cli/rakelight-cli
take_photo=$1/data/demo/take-photo
out=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

import () {  # JOB LINES
  "$cli" import "$1" <"$2" >"$work/said"
}

mkdir -p "$out"
mandola=$("$1/data/demo/make-demo" "$out")
# The burn goes on record first, so that the photographs are the last that was done.
burn=$("$cli" status --json "$mandola" | tr '\n' ' ' | sed 's/.*"id": "\([0-9a-f-]*\)", *"mark": "Burn (heat)".*/\1/')
"$cli" defect add "$mandola" 'Lower treble' --mark "$burn" --who 'Nele Harrow' \
  --severity 'Seen from any side: a dark blot.' --cause 'The drying lamp stood too near.' \
  --standing open >"$work/said"
"$take_photo" "$mandola" --name front-burn.jpg --face Front --mark burn --lamp 315 --who 'Nele Harrow' \
  --note 'The burn, the evening it was found.'
"$take_photo" "$mandola" --name front-scratch.jpg --face Front --mark scratch --lamp 315 --who 'Nele Harrow' \
  --note 'The old scratch in the lower bass.'
"$take_photo" "$mandola" --name front.jpg --face Front --lamp 315 --view 'from the tail' --who 'Nele Harrow' \
  --note 'The whole front, lamp low from the upper bass.'
echo "$mandola"

box=$out/writing-box-6.rakejob
rm -f "$box"
import "$box" "$here/writing-box-6-1.jsonl"
"$take_photo" "$box" --name lid-p1000.jpg --lamp 90 --view 'from the lock' --who 'Ines Larkin' \
  --note 'After two passes with P1000: the pools still shine.'
import "$box" "$here/writing-box-6-2.jsonl"
"$take_photo" "$box" --name lid-p2000.jpg --lamp 90 --view 'from the lock' --who 'Ines Larkin' \
  --note 'Before the last look, the same view.'
echo "$box"

board=$out/fallboard-31.rakejob
rm -f "$board"
import "$board" "$here/fallboard-31-1.jsonl"
"$take_photo" "$board" --name burn.jpg --mark burn --lamp 300 --who 'Jorun Vale' \
  --note 'Where the wheel stood still.'
import "$board" "$here/fallboard-31-2.jsonl"
"$take_photo" "$board" --name delivery.jpg --lamp 90 --view 'from the keys' --who 'Jorun Vale' \
  --after 320 --note 'At delivery.'
seal=$("$cli" status --json "$board" | sed -n 's/^  "seal": "\([0-9a-f]*\)".*/\1/p')
sed "s/@SEAL/$seal/" "$here/fallboard-31-3.jsonl" >"$work/lines"
"$cli" hand-over --check --now 2024-05-21T12:00:00+02:00 "$board" >"$work/said" ||
  { cat "$work/said" >&2; exit 1; }
import "$board" "$work/lines"
"$take_photo" "$board" --name claim.jpg --lamp 90 --view 'from the keys' --who 'Jorun Vale' \
  --note 'A year later, the same view.'
import "$board" "$here/fallboard-31-4.jsonl"
echo "$board"
