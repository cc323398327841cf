#!/usr/bin/python3
"""Every unit against GNU units, both ways: as a person types it, and as it is shown.

units-against-gnu.py PRINT-SUMS [SEED]

Exit status 77, which meson takes for "skipped", when GNU units is not there.
"""

import shutil
import subprocess
import sys

STORED = ("um", "mm", "tempC", "m/s", None, None, "g", "g/ml", "mm^2")
SHOWN_WITHIN = {"um": 5e-4, "mm": 5e-4, "tempC": 5e-4, "m/s": 5e-4, "mil": 5e-5, "inch": 5e-5,
                "tempF": 5e-4, "ft/min": 5e-3}    # half of the last digit in an entry field


def convert(pairs):
    """All (number, from, to) in one run of GNU units."""
    wanted = "".join(f"{f'{a}({n})' if a.startswith('temp') else f'{n} {a}'}\n{b}\n"
                     for n, a, b in pairs)
    done = subprocess.run(["units", "-t", "-q", "-o", "%.17g"], input=wanted,
                          stdout=subprocess.PIPE, check=True, text=True)
    return [float(line) for line in done.stdout.split()]


def main():
    if shutil.which("units") is None:
        print("skipped: GNU units is missing; install the package units")
        return 77
    text = subprocess.run([sys.argv[1], "1"], stdout=subprocess.PIPE, check=True, text=True).stdout
    lines = [line.split("\t") for line in text.splitlines()
             if line.startswith(("read\t", "write\t"))]
    theirs = convert([(number, word, STORED[int(measure)]) if way == "read" else
                      (number, STORED[int(measure)], word) for way, word, measure, number, _ in lines])
    worst = {}
    faults = 0
    for (way, word, measure, number, ours), right in zip(lines, theirs, strict=True):
        off = abs(float(ours) - right)
        key = f"{way} {word}"
        if way == "read":
            off /= max(abs(right), 1)
            faults += off > 1e-12
        else:
            faults += off > SHOWN_WITHIN[word] * (1 + 1e-9)
        worst[key] = max(worst.get(key, 0), off)
    for key, off in worst.items():
        print(f"{key:14} off by {off:.1e} at most")
    print(f"{len(lines)} conversions, {faults} faults")
    return 1 if faults or len(worst) < 26 else 0


if __name__ == "__main__":
    sys.exit(main())
