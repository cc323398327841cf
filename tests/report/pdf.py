"""Reads a PDF with programs that are not ours: poppler's and qpdf."""

import json
import os
import re
import subprocess


def run(*command):
    done = subprocess.run(command, capture_output=True, check=False)
    if done.returncode != 0:
        raise AssertionError(f"{command}: {done.stdout.decode()} {done.stderr.decode()}")
    return done.stdout


class Pdf:
    def __init__(self, path):
        self.path = path
        self.info = {}
        for line in run("pdfinfo", path).decode().splitlines():
            name, _, value = line.partition(":")
            self.info[name] = value.strip()
        self.n_pages = int(self.info["Pages"])

    def check(self):
        """What qpdf has to say of its syntax; "" for nothing."""
        done = subprocess.run(["qpdf", "--check", self.path], capture_output=True, text=True,
                              check=False)
        return "" if done.returncode == 0 else done.stdout + done.stderr

    def text(self, page=None, layout=False):
        pages = ["-f", str(page), "-l", str(page)] if page else []
        return run("pdftotext", *pages, *(["-layout"] if layout else []), self.path, "-").decode()

    def words(self, page=None):
        """All text in the order in which it is written; every space and line end one space."""
        pages = ["-f", str(page), "-l", str(page)] if page else []
        text = run("pdftotext", "-raw", *pages, self.path, "-").decode()
        return re.sub(r"[\s\u00a0]+", " ", text)

    def fonts(self):
        """Name, whether embedded, whether its letters can be read back."""
        lines = run("pdffonts", self.path).decode().splitlines()[2:]
        return [(line.split()[0], line.split()[-5] == "yes", line.split()[-3] == "yes")
                for line in lines]

    def objects(self):
        return json.loads(run("qpdf", "--json=1", "--json-key=objects", self.path))["objects"]

    def tags(self):
        return re.findall(r"^ *([A-Za-z0-9]+)", run("pdfinfo", "-struct", self.path).decode(), re.M)

    def grey(self, page, dpi=72):
        """Width, height and the grey values of a page, row after row."""
        data = run("pdftoppm", "-gray", "-r", str(dpi), "-f", str(page), "-l", str(page), self.path)
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
        return int(head[1]), int(head[2]), data[head.end():]

    def colours(self, page, dpi=72):
        data = run("pdftoppm", "-r", str(dpi), "-f", str(page), "-l", str(page), self.path)
        head = re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data)
        return int(head[1]), int(head[2]), data[head.end():]

    def size(self):
        return os.path.getsize(self.path)
