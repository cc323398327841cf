#!/bin/sh
# demo.sh [--picture FILE.png] [--scheme light|dark] [ON-DISPLAY'S OPTIONS]: shows Rakelight with a job
# half way through, in the theme that was chosen in it last, or in that of --scheme.
#
# Installs what is missing on a Debian system, builds in build-demo, has the demo jobs made
# (data/demo/make.sh) and opens the window on them. Where there is no display, or with --picture, the
# window opens on a screen nobody sees, a picture is taken of it, and the path of that is told.
#
# Jobs already in build-demo/jobs are left as they are: remove that folder to begin anew.
set -eu
cd "$(dirname "$0")/.."

picture=
[ "${1:-}" != --picture ] || { picture=$2; shift 2; }
if [ -z "$picture" ] && [ -z "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
  picture=build-demo/rakelight.png
fi

# The theme goes to the program itself, which does not ask the desktop for it unless told to.
before=
for word; do
  if [ "$before" = --scheme ]; then
    case $word in
      light|dark) RAKELIGHT_THEME=$word; export RAKELIGHT_THEME ;;
      contrast) ;;
      *) printf '%s\n' "demo: a scheme is light, dark or contrast, not $word"; exit 1 ;;
    esac
  fi
  before=$word
done

sh tests/support/install build run ${picture:+screen}

say () { printf '%s\n' "$*"; }
quietly () {  # WHAT COMMAND...: shows what the command said only when it failed
  what=$1
  shift
  say "$what"
  mkdir -p build-demo
  "$@" >build-demo/said 2>&1 || {
    grep -v "^\[[0-9/]*\] " build-demo/said | tail -n 40
    say "demo: this failed: $what (all of it is in build-demo/said)"
    exit 1
  }
}

[ -f build-demo/build.ninja ] ||
  quietly 'Preparing to build' meson setup build-demo --buildtype=release -Db_ndebug=false
quietly 'Building' ninja -C build-demo

jobs=build-demo/jobs
[ -f data/demo/make.sh ] || { say 'demo: data/demo/make.sh, which makes the jobs, is not here'; exit 1; }
if [ ! -d "$jobs" ]; then
  # Made beside and then named, so that a run broken off leaves no half of them.
  rm -rf "$jobs.new"
  mkdir "$jobs.new"
  quietly 'Making the demo jobs' sh data/demo/make.sh build-demo "$jobs.new"
  mv "$jobs.new" "$jobs"
fi
# The one to open first is the mandola, half way through; make.sh may make others beside it.
for job in "$jobs"/*mandola*.rakejob "$jobs"/*.rakejob; do [ ! -f "$job" ] || break; done
[ -f "$job" ] || { say "demo: data/demo/make.sh left no .rakejob file in $jobs"; exit 1; }

RAKELIGHT_LOCALEDIR=$PWD/build-demo/po
export RAKELIGHT_LOCALEDIR
if [ -z "$picture" ]; then
  say "Opening $job"
  exec build-demo/src/window/rakelight "$job"
fi

mkdir -p "$(dirname "$picture")"
# The words within are for the shell on that screen.
# shellcheck disable=SC2016
tests/support/on-display --size 1440x900 "$@" -- sh -c '
  "$1" "$2" &
  window=$!
  tries=0
  until xdotool search --onlyvisible --pid $window >"$ON_DISPLAY/found" 2>&1 && [ -s "$ON_DISPLAY/found" ]; do
    kill -0 $window 2>/dev/null || { echo "demo: the window did not open"; exit 1; }
    tries=$((tries + 1))
    [ $tries -lt 300 ] || { echo "demo: no window came within 30 s"; exit 1; }
    sleep 0.1
  done
  tests/support/snap "$3"
  status=$?
  kill $window
  exit $status' - build-demo/src/window/rakelight "$job" "$picture"
say "This is the window, open on $job: $picture"
