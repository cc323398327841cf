#!/usr/bin/python3
"""rule-strings.py [--check]: hands the sentences of data/rules/*.rules to gettext.

They are data, which xgettext does not read, so they are copied into rule-strings.h, which it does.
With --check nothing is written; the status is 1 when that file is not current.
"""
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
RULES = HERE.parent / "data" / "rules"
HEADER = HERE / "rule-strings.h"
# The words of a rule that a sentence follows.
SENTENCE = re.compile(r'^\s*(says|clears|warns|unsure|prepare)\b[^"]*("(?:\\.|[^"\\])*")\s*(?:#.*)?$')


def sentences():
    """(where, the sentence in its quotes), each sentence once, in the order of the files."""
    seen = set()
    for path in sorted(RULES.glob("*.rules")):
        rule = path.name
        for line in path.read_text("utf-8").splitlines():
            named = re.match(r"\s*rule\s+(\S+)", line)
            if named:
                rule = named[1]
            found = SENTENCE.match(line)
            if found and found[2] not in seen:
                seen.add(found[2])
                yield f"{rule} {found[1]}", found[2]


def header():
    lines = ["/* Written by rule-strings.py from data/rules, for xgettext. Keep what stands in {} as it is. */"]
    for where, sentence in sentences():
        lines += [f"/* TRANSLATORS: rule {where}; keep the words in braces. */", f"N_ ({sentence})"]
    return "\n".join(lines) + "\n"


def main():
    text = header()
    current = HEADER.read_text("utf-8") if HEADER.exists() else ""
    if sys.argv[1:] == ["--check"]:
        if text != current:
            print("po/rule-strings.h is not what data/rules says: run po/update")
        return int(text != current)
    if text != current:
        HEADER.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
