#!/usr/bin/env python3
"""check-chain.py FILE [SEAL]: recomputes every hash of an exported job, and its seal.

Knows nothing of the program but what docs/entries.md says: the hash of an entry is the SHA-256 of its
line without ,"hash":"…"; "previous" is the hash of the same bench's entry before, zeros for its first;
a bench counts 1, 2, 3 …; the seal is the SHA-256 over a line BENCH NUMBER HASH for the last entry of
each bench, sorted. Prints the seal; says what differs, and ends with 1, when anything does.
"""
import hashlib
import json
import re
import sys


def check(lines):
    ends = {}
    for at, line in enumerate(lines, 1):
        entry = json.loads(line)
        bare = re.sub(r',"hash":"[0-9a-f]{64}"\}$', "}", line)
        if hashlib.sha256(bare.encode()).hexdigest() != entry["hash"]:
            sys.exit(f"line {at}: the hash is not that of the line")
        number, previous = ends.get(entry["bench"], (0, "0" * 64))
        if entry["number"] != number + 1:
            sys.exit(f"line {at}: number {entry['number']} follows {number}")
        if entry["previous"] != previous:
            sys.exit(f"line {at}: previous is not the hash of the entry before")
        ends[entry["bench"]] = entry["number"], entry["hash"]
    text = "".join(f"{bench} {number} {last}\n" for bench, (number, last) in sorted(ends.items()))
    return hashlib.sha256(text.encode()).hexdigest()


def main():
    with open(sys.argv[1], encoding="utf-8", newline="\n") as file:
        seal = check(file.read().split("\n")[:-1])
    print(seal)
    if len(sys.argv) > 2 and sys.argv[2] != seal:
        sys.exit(f"the seal is {seal}, not {sys.argv[2]}")


if __name__ == "__main__":
    main()
