#!/bin/sh
# run.sh [quick|deep]: builds everything, tests it, and says on the last line how it went.
#
# quick leaves out the sanitizers, the coverage, and the reading of the sources by other programs. deep
# leaves out nothing: the camera, by fingers what else is done by hand, and what the tests stand on are
# tested too, the slow tests run under the sanitizers, all with all their random cases, and clang-tidy
# reads the window, following one function into the next. That takes three times as long.
# What is missing on a Debian system is installed first (see tests/support/install). Everything is
# built in build-tests and build-asan; nothing else is written.
set -u
cd "$(dirname "$0")/.." || exit 1
unset MAKEFLAGS MESON_TESTTHREADS LANGUAGE DISPLAY WAYLAND_DISPLAY
export LC_ALL=C.UTF-8

passed=0 failed=0 broken='' times=''
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
started=$(date +%s)

# The time of each step is told at the end: a run that grows slow is noticed before it hurts. Beside
# the clock stands what the processors worked for it, which is the same on a busy machine.
worked () {  # not in a subshell, which has worked nothing yet: the answer is left in $work_done
  times >"$work/times"
  work_done=$(awk -F '[ms ]' 'END { printf "%d", $1 * 60 + $2 + $4 * 60 + $5 }' "$work/times")
}
step () {
  step_end
  step=$1 step_started=$(date +%s) step_worked=$work_done
  printf '\n== %s\n' "$step"
}
step='' work_done=0
step_end () {
  worked
  [ -z "$step" ] || times="$times$(printf '%5d s %5d s  %s' $(($(date +%s) - step_started)) \
    $((work_done - step_worked)) "$step")
"
  step=''
}

good () { passed=$((passed + 1)); }
bad () { failed=$((failed + 1)); broken="$broken  $1
"; }

# check NAME COMMAND...: one more that passed or failed
check () {
  name=$1
  shift
  if "$@" >"$work/said" 2>&1; then
    printf 'ok      %s: %s\n' "$name" "$(tail -n 1 "$work/said")"
    good
  else
    printf 'failed  %s:\n' "$name"
    tail -n 200 "$work/said"
    bad "$name"
  fi
}

finish () {
  step_end
  printf '\n  clock   work\n%s%5d s %5d s  in all\n\n' "$times" $(($(date +%s) - started)) "$work_done"
  # What failed stands hundreds of lines above, so what it said is told here once more.
  [ ! -s "$work/failures" ] || { echo 'What the failed tests said:'; cat "$work/failures"; echo; }
  [ -z "$broken" ] || printf 'Failed:\n%s\n' "$broken"
  echo "$passed passed, $failed failed"
  [ "$failed" = 0 ] && [ "$passed" != 0 ]
  exit
}

# configure FOLDER OPTION...: nothing more can be said where this fails, so the run ends
configure () {
  folder=$1
  shift
  if [ -f "$folder/build.ninja" ]; then meson configure "$folder" "$@" && ninja -C "$folder" build.ninja
  else meson setup "$folder" "$@"; fi >"$work/said" 2>&1 || {
    tail -n 40 "$work/said"
    bad "configuring $folder"
    finish
  }
}

build () {  # FOLDER TARGET...
  folder=$1
  shift
  ninja -C "$folder" "$@" >"$work/said" 2>&1 || {
    grep -vE '^\[[0-9]+/[0-9]+\] (Compiling|Linking|Generating)' "$work/said" | tail -n 100
    bad "building $folder"
    finish
  }
}

# meson_tests FOLDER OPTION...: runs tests there and counts each of them
meson_tests () {
  folder=$1
  shift
  # One file, whose name has that of the setup in it.
  rm -f "$folder"/meson-logs/testlog*.json
  meson test -C "$folder" --no-rebuild --print-errorlogs "$@" >"$work/said" 2>&1
  status=$?
  grep -vE '^ninja|^$' "$work/said"
  [ "$status" = 0 ] || grep -A 40 '^not ok\|^\[  FAILED\|^Traceback\|Missing:' "$folder"/meson-logs/testlog.txt |
    cut -c 1-300 | head -n 120 >>"$work/failures"
  # What meson counts, read from its own record of every test.
  /usr/bin/python3 - "$folder" "$folder"/meson-logs/testlog*.json >"$work/counted" <<'END'
import json, os, sys
for path in filter(os.path.exists, sys.argv[2:]):
    with open(path, encoding="utf-8") as log:
        for test in map(json.loads, log):
            word = {"OK": "good", "EXPECTEDFAIL": "good", "SKIP": "skip"}.get(test["result"], "bad")
            print(word, sys.argv[1] + ": " + test["name"])
END
  while read -r word name; do
    case $word in good) good ;; bad) bad "$name" ;; skip) echo "skipped: $name" ;; esac
  done <"$work/counted"
  # A run that ended badly before it could record anything is not silence.
  if [ "$status" != 0 ] && ! grep -q '^bad' "$work/counted"; then bad "the tests of $folder"; fi
  [ -s "$work/counted" ] || bad "$folder ran no test"
}

mode=${1:-all}
case $mode in all|quick|deep) ;; *) sed -n '2,/^set/s/^# \{0,1\}//p' "$0"; exit 64 ;; esac

step 'install what is missing'
sh tests/support/install test || { bad 'installing'; finish; }

step 'build'
configure build-tests --werror -Dbuildtype=debugoptimized -Dc_args=-g1
build build-tests all pseudo

step 'tests'
if [ "$mode" = deep ]; then meson_tests build-tests; else meson_tests build-tests --no-suite deep; fi

[ "$mode" = quick ] && finish

# One build for both. Core and store have no threads of their own, so their counts need not be atomic,
# which would make the tests three times as slow.
step 'build with sanitizers and coverage'
configure build-asan -Db_sanitize=address,undefined -Db_lundef=false -Db_coverage=true \
  -Dbuildtype=debug -Doptimization=1 -Dc_args=-g1
# The lower layers here, the others in a deep run: they take ten minutes more.
lower='core store imaging draw support'
if [ "$mode" = deep ]; then build build-asan meson-test-prereq
else build build-asan $(tests/support/programs-of build-asan $lower); fi
find build-asan -name '*.gcda' -exec rm -f {} +

step 'tests with sanitizers, leaks counted'
# Not the slow ones: these wait for a screen, reckon in Python, or start the program hundreds of times,
# where the sanitizers see nothing of ours that the others do not show them.
if [ "$mode" = deep ]; then meson_tests build-asan -t 4  # times as patient
else
  export RAKE_TEST_SHARE=4
  meson_tests build-asan --no-suite slow $(printf -- ' --suite %s' $lower)
fi

step 'coverage of core and store'
check 'coverage' gcovr --root . --filter src/core/ --filter src/store/ --object-directory build-asan \
  --fail-under-line 75 --print-summary build-asan
cat "$work/said"

step 'layout'
check 'clang-format' tests/support/format --check

# Not asked for leaks: it does not follow what is handed over, as the sanitizers do. Nor does it know
# that a weak pointer becomes NULL by itself.
step 'cppcheck'
check 'cppcheck' cppcheck -q -j2 --std=c11 --library=gtk --enable=warning,performance,portability \
  --inline-suppr --suppress=missingIncludeSystem --suppress=missingInclude --suppress=unknownMacro \
  --suppress=memleak --suppress=invalidPointerCast --suppress=nullPointerRedundantCheck \
  --error-exitcode=2 -I include -I build-tests -i tests/support/planted-leak.c src tests

step 'clang-tidy'
check 'clang-tidy' tests/support/tidy $([ "$mode" = deep ] && echo --deep) build-tests

step 'the repository'
check 'words' tests/support/check-words
for file in README.md DEVELOPERS.md LICENSE .ci/run; do
  check "$file" test -s "$file"
done
check 'scripts are well-formed' sh -c 'for script in tests/run.sh data/*.sh tests/support/install; do
  sh -n "$script" || exit 1; done'

finish
