#!/bin/sh
# run.sh [BUILD-DIR]: builds and prints what things cost, each beside the least it could cost in the same
# run: "WHAT 0.080 ms (0.085), floor 0.010 ms (0.011), ratio 8.0"; the least first, in brackets the middle.
#
# Takes some minutes, and wants a machine that has nothing else to do. What was measured once, and what
# it means, stands in docs/speed.md.
set -eu
cd "$(dirname "$0")/../.."
build=${1:-build}

[ -f "$build/build.ninja" ] || meson setup "$build" -Dbuildtype=debugoptimized
ninja -C "$build"
said=$(mktemp)
trap 'rm -f "$said"' EXIT
status=0
meson test -C "$build" --benchmark --suite bench --verbose --no-rebuild --num-processes 1 \
  >"$said" 2>&1 || status=$?
grep -E '^[^ ].* (ms|MiB) \(' "$said" || status=1
if [ "$status" != 0 ]; then
  tail -n 40 "$said"
  echo "bench: not everything was measured; the end of what was said is above"
fi
exit "$status"
