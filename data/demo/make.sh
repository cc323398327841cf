#!/bin/sh
# make.sh BUILD_DIR OUT_DIR - writes the demonstration job into OUT_DIR and prints its path.
set -eu
[ $# -eq 2 ] || { echo "usage: make.sh BUILD_DIR OUT_DIR" >&2; exit 2; }
exec "$1/data/demo/make-demo" "$2"
