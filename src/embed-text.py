"""Writes a text file as a C string: embed-text.py NAME INPUT OUTPUT."""
import sys

name, source, target = sys.argv[1:]
with open(source, encoding="utf-8") as file:
    lines = file.read().splitlines()
with open(target, "w", encoding="utf-8") as file:
    file.write(f"extern const char {name}[];\nconst char {name}[] =\n")
    for line in lines:
        escaped = line.replace("\\", "\\\\").replace('"', '\\"')
        file.write(f'  "{escaped}\\n"\n')
    file.write(";\n")
