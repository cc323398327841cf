#!/usr/bin/python3
"""check-po.py: what is kept for translators fits the sources, and the translations fit their words.

Each complaint is one line. A text without its translation is a complaint, too: half a language is
worse than none at a bench.
"""
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

ROOT = pathlib.Path(__file__).resolve().parents[2]
PO = ROOT / "po"


def run(*command, **how):
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, cwd=ROOT, **how)


def messages(path):
    """(msgid, [translations]) of a .po file, as they stand between the quotes; the header left out."""
    flat = run("msgattrib", "--no-wrap", "--no-location", "--no-obsolete", path, check=True).stdout
    for block in flat.split("\n\n"):
        if re.search(r"^#,.*\bfuzzy\b", block, re.M):
            continue
        fields = {}
        key = None
        for line in block.splitlines():
            found = re.match(r'(msg\w+(?:\[\d+\])?) "(.*)"$', line)
            if found:
                key, fields[found[1]] = found[1], found[2]
            elif key and line.startswith('"'):
                fields[key] += line[1:-1]
        if fields.get("msgid"):
            yield fields, [text for name, text in fields.items() if name.startswith("msgstr")]


def complaints_about_sources(template):
    if run(PO / "rule-strings.py", "--check").returncode:
        yield "po/rule-strings.h is not what data/rules says: run po/update"
    if run(PO / "list-files").stdout != (PO / "POTFILES").read_text("utf-8"):
        yield "po/POTFILES does not list the files that hold words: run po/update"
    made = run(PO / "extract", template)
    for line in (made.stderr + ("" if made.returncode == 0 else "po/extract failed")).splitlines():
        yield f"not fit for translators: {line}"
    # A macro in the middle of a text is not seen by xgettext, so the text is never found again.
    for path in sorted((ROOT / "src").rglob("*.[ch]")):
        text = path.read_text("utf-8")
        for found in re.finditer(r'\b(?:_|N_|C_) ?\((?:\s*"(?:\\.|[^"\\])*")+\s*G_G\w+_FORMAT', text):
            line = text.count("\n", 0, found.start()) + 1
            yield f"{path.relative_to(ROOT)}:{line}: write PRId64 or %zu in a text to be translated"


def complaints_about(path, template):
    where = path.relative_to(ROOT)
    checked = run("msgfmt", "--check", "--check-accelerators=_", "-o", "/dev/null", path)
    for line in checked.stderr.splitlines() if checked.returncode else ():
        yield line
    for fields, translations in messages(path):
        for translation in filter(None, translations):
            braces = [set(re.findall(r"\{[a-z_]+\}", text))
                      for text in (fields["msgid"] + fields.get("msgid_plural", ""), translation)]
            if braces[0] != braces[1]:
                yield f'{where}: "{translation}" does not keep the {{words}} of "{fields["msgid"]}"'
    with tempfile.TemporaryDirectory() as folder:
        merged = pathlib.Path(folder) / "merged.po"
        run("msgmerge", "--quiet", "--no-fuzzy-matching", "-o", merged, path, template, check=True)
        missing = [fields["msgid"] for fields, translations in messages(merged) if "" in translations]
    if missing:
        yield f'{where}: {len(missing)} texts have no translation, the first "{missing[0]}"'


def menus():
    """(where, its labels) of each menu, and of each that opens from one: what is seen at the same time."""
    def labels_of(menu):
        for child in menu:
            if child.tag == "section":
                yield from labels_of(child)
            elif child.tag in ("item", "submenu"):
                yield from (one.text for one in child.findall("attribute") if one.get("name") == "label")

    for path in sorted((ROOT / "ui").glob("*.ui")):
        for top in xml.etree.ElementTree.parse(path).iter("menu"):
            for menu in [top, *top.iter("submenu")]:
                yield f"{path.relative_to(ROOT)}: {menu.get('id') or 'a submenu'}", list(labels_of(menu))


def complaints_about_menus(language, words):
    """A letter that two of a menu's labels underline chooses neither."""
    for where, labels in menus():
        taken = {}
        for label in (words.get(label, label) for label in labels):
            letter = re.search(r"_(\w)", label)
            other = taken.setdefault(letter[1].lower(), label) if letter else label
            if other != label:
                yield f'{where}, {language}: "{other}" and "{label}" have the same letter'


def main():
    with tempfile.TemporaryDirectory() as folder:
        template = pathlib.Path(folder) / "rakelight.pot"
        said = list(complaints_about_sources(template))
        translations = sorted(PO.glob("*.po"))
        listed = set(re.findall(r"^[a-z].*$", (PO / "LINGUAS").read_text("utf-8"), re.M))
        if listed != {path.stem for path in translations}:
            said.append(f"po/LINGUAS lists {sorted(listed)}, not what is there")
        said += complaints_about_menus("as written", {})
        for path in translations:
            said += complaints_about(path, template)
            words = {fields["msgid"]: first for fields, (first, *_) in messages(path)}
            said += complaints_about_menus(path.stem, words)
        texts = sum(1 for _ in messages(template))
    print("\n".join(said) if said else f"{texts} texts, in {len(translations)} translations, whole")
    return 1 if said else 0


if __name__ == "__main__":
    sys.exit(main())
