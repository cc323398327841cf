#!/usr/bin/python3
"""photos-by-hand.py RAKELIGHT MAKE-DEMO RAKELIGHT-CLI OTHER-PROGRAM PICTURES: photographs pasted and dropped
into the demonstration job by hand, and what the job file then says. PICTURES is a folder of JPEGs. Run
under on-display. The file chooser is the desktop's and not driven here; the watched folder has its test
in test-photo-watch.c."""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import driver

RAKELIGHT, MAKE_DEMO, CLI, OTHER, PICTURES = sys.argv[1:6]


class Bench:
    def __init__(self, program, path, folder):
        self.program, self.path, self.folder = program, path, pathlib.Path(folder)
        self.map = program.wait_for("Zones of the face", "list box")

    def photos(self):
        text = subprocess.run([CLI, "photo", "list", "--json", self.path], check=True,
                              capture_output=True, text=True).stdout
        return json.loads(text)

    def names(self):
        return sorted(photo["name"] or "" for photo in self.photos())

    def wait_for_names(self, *names):
        driver.wait_until(lambda: self.names() == sorted(names), f"{names} in the job", 20)

    def photo(self, name):
        return next(photo for photo in self.photos() if photo["name"] == name)

    def select(self, name):
        zone = self.map.find(re.compile(f"{name}: "), shown=True)
        zone.activate("zone.select")
        driver.wait_until(lambda: self.map.find(re.compile(f"{name}: ")).has("selected"), name)

    def show_photos(self):
        self.program.key("p")
        self.program.wait_for("Add…", "push button")

    def paste(self):
        """By key, in the window: the other program has the focus when it comes up."""
        self.program.click(self.program.wait_for("photographs", "label"))
        self.program.key("ctrl+v")

    def picture(self, name, of):
        """A copy of one of the pictures under a name of its own."""
        return shutil.copy(os.path.join(PICTURES, of), self.folder / name)


def pasted_as_a_picture_and_as_files(bench):
    program = bench.program
    picture = bench.picture("copied.jpg", "raking-16.jpg")
    bench.show_photos()
    with driver.start(OTHER, "copy-picture", picture):
        bench.paste()
        bench.wait_for_names("")
    assert bench.photos()[0]["n_bytes"] == os.path.getsize(picture)   # to the byte, not decoded
    program.wait_for("A picture without a name", "label")
    files = [bench.picture("one.jpg", "raking-05.jpg"), bench.picture("two.jpg", "raking-22.jpg")]
    with driver.start(OTHER, "copy-files", *files):
        bench.paste()
        bench.wait_for_names("", "one.jpg", "two.jpg")


def dropped_on_the_bench(bench):
    program = bench.program
    path = bench.picture("dropped.jpg", "raking-05.jpg")
    bench.select("Upper bass")
    with driver.start(OTHER, "drag", path) as source:
        handle = source.wait_for("Drag me", "label")
        program.drag(handle.at(), bench.map.at(0.5, 0.5), steps=25)
        bench.wait_for_names("dropped.jpg")
    assert bench.photo("dropped.jpg")["zones"] == ["Upper bass"], bench.photos()


TESTS = [pasted_as_a_picture_and_as_files, dropped_on_the_bench]


def run(test):
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile() as log:
        path = subprocess.run([MAKE_DEMO, folder], check=True, capture_output=True,
                              text=True).stdout.strip().splitlines()[0]
        with driver.start(RAKELIGHT, path, log=log.name) as program:
            test(Bench(program, path, folder))
        said = open(log.name).read()
        assert not re.search("WARNING|CRITICAL", said), said


def main():
    failed = 0
    for test in [test for test in TESTS if not sys.argv[6:] or test.__name__ in sys.argv[6:]]:
        try:
            run(test)
            print(f"ok {test.__name__}", flush=True)
        except Exception as error:  # the next test may still tell more
            failed += 1
            print(f"not ok {test.__name__}: {error}", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
