#!/usr/bin/python3
"""make-pseudo.py POT PO: writes a translation into a language nobody speaks, to try the window with.

Every letter gets an accent, so that a word left in English shows at once; every text grows by two
fifths, as a translation may, so that what is cut off shows too; and each stands in brackets, so
that a text glued together from pieces shows. Placeholders (%d, {fact}), markup, entities, escapes
and the underscore before a mnemonic stay as they are.
"""
import re
import sys

ACCENTED = str.maketrans("aceginosuwyzACEGINOSUWYZ", "äçéğîñöšüŵýžÄÇÉĞÎÑÖŠÜŴÝŽ")
KEPT = re.compile(r"%(?:\d+\$)?[-+ #0']*(?:\*|\d+)?(?:\.(?:\*|\d+))?(?:hh|h|ll|l|z|j|t)?[diouxXeEfFgGcsp%]"
                  r"|<PRI[a-zA-Z0-9]+>|\{[^{}]*\}|</?[a-zA-Z][^<>]*>|&[a-z]+;|\\.|_(?=\w)")
HEADER = r'''msgid ""
msgstr ""
"Project-Id-Version: rakelight\n"
"PO-Revision-Date: 2000-01-01 00:00+0000\n"
"Last-Translator: make-pseudo.py <rakelight@example.invalid>\n"
"Language-Team: none\n"
"Language: en@pseudo\n"
"MIME-Version: 1.0\n"
"Content-Type: text/plain; charset=UTF-8\n"
"Content-Transfer-Encoding: 8bit\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\n"
'''


def pseudo(text):
    """The pseudo-translation of a message as it stands between quotes in a .po file."""
    if not text:
        return text
    # A closing newline is part of the message's form: msgfmt wants it at the end of both.
    body, end = (text[:-2], r"\n") if text.endswith(r"\n") else (text, "")
    start, body = (r"\n", body[2:]) if body.startswith(r"\n") else ("", body)
    parts, at, letters = [], 0, 0
    for kept in KEPT.finditer(body):
        parts += [body[at:kept.start()].translate(ACCENTED), kept[0]]
        letters += kept.start() - at
        at = kept.end()
    parts.append(body[at:].translate(ACCENTED))
    letters += len(body) - at
    return f"{start}[{''.join(parts)}{'~' * max(1, round(letters * 0.4))}]{end}"


def messages(lines):
    """The entries of a .pot file after its header: comment lines, and the strings by their keyword."""
    entry, comments, key = {}, [], None
    for line in [*lines, ""]:
        if line.startswith("#"):
            comments.append(line)
        elif line.startswith('"'):
            entry[key] += line.strip()[1:-1]
        elif line.strip():
            key, value = line.strip().split(" ", 1)
            entry[key] = value[1:-1]
        elif entry:
            if entry["msgid"]:
                yield comments, entry
            entry, comments = {}, []


def main():
    template, written = sys.argv[1:]
    with open(template, encoding="utf-8") as source:
        found = list(messages(source.read().splitlines()))
    with open(written, "w", encoding="utf-8") as out:
        out.write(HEADER)
        for comments, entry in found:
            out.write("\n")
            for comment in comments:
                if comment.startswith("#,"):
                    out.write(comment.replace(", fuzzy", "") + "\n")
            for key in ("msgctxt", "msgid", "msgid_plural"):
                if key in entry:
                    out.write(f'{key} "{entry[key]}"\n')
            if "msgid_plural" in entry:
                out.write(f'msgstr[0] "{pseudo(entry["msgid"])}"\n')
                out.write(f'msgstr[1] "{pseudo(entry["msgid_plural"])}"\n')
            else:
                out.write(f'msgstr "{pseudo(entry["msgid"])}"\n')
    return 0


if __name__ == "__main__":
    sys.exit(main())
