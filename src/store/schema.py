"""Writes the schema of job files as C: schema.py INPUT OUTPUT NEWEST.

rake_schema_sql is that of version NEWEST, rake_schema_N_sql that of each earlier version N. What stands in
INPUT between "--@ since 2", "--@ until 1" or "--@ since 2 until 3" and "--@ end" is only in these versions;
@VERSION@ is the version.
"""
import re
import sys

MARK = re.compile(r"--@(?: since (?P<since>\d+))?(?: until (?P<until>\d+))?$")


def take(lines, version):
    is_in, is_open = True, False
    for number, line in enumerate(lines, 1):
        mark = MARK.match(line)
        if line == "--@ end" and is_open:
            is_in, is_open = True, False
        elif mark and (mark["since"] or mark["until"]) and not is_open:
            is_in = int(mark["since"] or 0) <= version <= int(mark["until"] or version)
            is_open = True
        elif line.startswith("--@"):
            sys.exit(f"line {number}: {line} does not belong here")
        elif is_in:
            yield line.replace("@VERSION@", str(version))
    if is_open:
        sys.exit("the last mark has no end")


def main(source, target, newest):
    with open(source, encoding="utf-8") as file:
        lines = file.read().splitlines()
    with open(target, "w", encoding="utf-8") as file:
        for version in range(1, newest + 1):
            name = f"rake_schema_{version}_sql" if version < newest else "rake_schema_sql"
            file.write(f"extern const char {name}[];\nconst char {name}[] =\n")
            for line in take(lines, version):
                escaped = line.replace("\\", "\\\\").replace('"', '\\"')
                file.write(f'  "{escaped}\\n"\n')
            file.write(";\n")


main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
