#!/usr/bin/python3
"""photos-by-hand.py RAKELIGHT MAKE-DEMO RAKELIGHT-CLI OTHER-PROGRAM PICTURES: photographs brought into the
demonstration job by each way, placed anew, taken back and withdrawn by hand, and what the job file then
says. PICTURES is a folder of JPEGs. Run under on-display."""
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
        driver.wait_until(lambda: self.names() == sorted(names), f"{names} in the job")

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

    def add(self, path, *options):
        subprocess.run([CLI, "photo", "add", *options, self.path, path], check=True, capture_output=True)

    def wait_for_view(self, view):
        """Until the one photograph has that name of a view, as the job stands now."""
        driver.wait_until(lambda: [photo["view"] for photo in self.photos()] == [view], f"view {view}")

    def answer(self, word):
        """By a button of a dialog."""
        self.program.wait_for(word, "push button").click()

    def verify(self):
        subprocess.run([CLI, "verify", self.path], check=True, capture_output=True)


# --- in ----------------------------------------------------------------------------------------------

def chosen_from_the_bench_it_belongs_to_the_zones_selected(bench):
    program = bench.program
    path = bench.picture("chosen.jpg", "raking-05.jpg")
    bench.select("Lower bass")
    program.wait_for("Photo…", "push button").activate()
    program.wait_for("Add photographs")
    program.type("/")                                # the chooser asks for a path then
    program.wait_for(None, "text", "focused")
    program.key("ctrl+a")
    program.type(str(path))
    program.key("Return")
    bench.wait_for_names("chosen.jpg")
    assert bench.photo("chosen.jpg")["zones"] == ["Lower bass"], bench.photos()


def pasted_as_a_picture_and_as_files(bench):
    program = bench.program
    picture = bench.picture("copied.jpg", "raking-16.jpg")
    bench.show_photos()
    with driver.start(OTHER, "copy-picture", picture):
        bench.paste()
        bench.wait_for_names("chosen.jpg", "")
    assert bench.photo(None)["n_bytes"] == os.path.getsize(picture)   # to the byte, not decoded
    program.wait_for("A picture without a name", "label")
    files = [bench.picture("one.jpg", "raking-22.jpg"), bench.picture("same.jpg", "raking-05.jpg")]
    with driver.start(OTHER, "copy-files", *files):
        bench.paste()
        bench.wait_for_names("chosen.jpg", "", "one.jpg")
        program.wait_for(re.compile("“same.jpg” is in this job already"), shown=True)


def dropped_on_the_bench(bench):
    program = bench.program
    path = bench.picture("dropped.jpg", "raking-05.jpg")
    bench.select("Upper bass")
    with driver.start(OTHER, "drag", path) as source:
        handle = source.wait_for("Drag me", "label")
        program.drag(handle.at(), bench.map.at(0.5, 0.5), steps=25)
        bench.wait_for_names("dropped.jpg")
    assert bench.photo("dropped.jpg")["zones"] == ["Upper bass"], bench.photos()


def new_in_the_watched_folder_it_offers_itself(bench):
    program = bench.program
    phone = bench.folder / "phone"
    for name, of in (("IMG_1.jpg", "raking-22.jpg"), ("IMG_2.jpg", "raking-16.jpg")):
        shutil.copy(os.path.join(PICTURES, of), phone / name)
    program.wait_for("2 new pictures in “phone”", "label")
    program.wait_for("Choose…", "push button").activate()
    tick = program.wait_for(re.compile("IMG_2"), "check box")
    tick.click()
    driver.wait_until(lambda: not tick.has("checked"), "the tick to go")
    bench.answer("Add")
    bench.wait_for_names("dropped.jpg", "IMG_1.jpg")
    program.wait_until_gone("2 new pictures in “phone”", "label")
    # What was answered is not asked again.
    shutil.copy(os.path.join(PICTURES, "raking-05.jpg"), phone / "IMG_3.jpg")
    program.wait_for("1 new picture in “phone”", "label")
    program.wait_for("Not These", "push button").click()
    program.wait_until_gone("1 new picture in “phone”", "label")
    assert bench.names() == ["IMG_1.jpg", "dropped.jpg"]


# --- what is in --------------------------------------------------------------------------------------

def placed_anew_and_taken_back(bench):
    program = bench.program
    bench.add(bench.picture("lid.jpg", "raking-05.jpg"), "--no-guess")
    bench.show_photos()
    program.wait_for("lid.jpg", "label")
    program.wait_for("View", "text").write("from the door")
    program.wait_for("Keep", "push button").activate()
    bench.wait_for_view("from the door")
    program.wait_for("Undo", "push button").click()
    bench.wait_for_view(None)
    program.wait_for("Redo", "push button").click()
    bench.wait_for_view("from the door")


def withdrawn_it_is_gone_for_good(bench):
    program = bench.program
    program.wait_for("Withdraw…", "push button").click()
    program.wait_for("Withdraw this photograph?")
    program.type("wrong piece")
    bench.answer("Withdraw")
    driver.wait_until(lambda: bench.photo("lid.jpg")["bytes"] == "withdrawn", "the withdrawal")
    program.wait_for(re.compile("^Withdrawn .*: wrong piece$"), "label")
    bench.verify()


def the_program_is_left_while_they_come_and_all_are_in(bench):
    """Ctrl+Q shuts the windows; the program ends when the last photograph is in."""
    program = bench.program
    picture = (pathlib.Path(PICTURES) / "raking-05.jpg").read_bytes()
    files = []
    for number in range(64):   # some seconds' work on a quick machine; each of its own bytes, by a comment
        path = bench.folder / f"{number:02}.jpg"
        path.write_bytes(picture[:2] + b"\xff\xfe\x00\x04%02d" % number + picture[2:])
        files.append(path)
    with driver.start(OTHER, "copy-files", *files):
        program.wait_for("Paste", "push button").click()
        program.wait_for(re.compile(r"Adding \d+ photographs"), "label")
        program.key("ctrl+q")
        n_in = len(bench.names())
        assert program.wait_end(120) == 0
    assert n_in < 1 + len(files), "they were in before the program was left"
    assert bench.names() == sorted(["lid.jpg"] + [path.name for path in files])
    bench.verify()
    assert not [path for path in bench.folder.iterdir() if path.name.endswith(("-wal", "-journal"))]


# Those of one row share a window.
TESTS = [
    [chosen_from_the_bench_it_belongs_to_the_zones_selected, pasted_as_a_picture_and_as_files],
    [dropped_on_the_bench, new_in_the_watched_folder_it_offers_itself],
    [placed_anew_and_taken_back, withdrawn_it_is_gone_for_good,
     the_program_is_left_while_they_come_and_all_are_in],
]


def remember(folder):
    """The phone's folder is a setting, and what is in it already is not new: nothing is."""
    os.makedirs(os.path.join(folder, "phone"))
    config = os.path.join(os.environ["XDG_CONFIG_HOME"], "rakelight")
    os.makedirs(config, exist_ok=True)
    with open(os.path.join(config, "settings.ini"), "w", encoding="utf-8") as settings:
        settings.write(f"[photos]\nfolder={folder}/phone\n[window]\nwidth=1200\nheight=820\n")


class Row:
    """Tests that go on from one another, in one program."""
    def __init__(self, number, tests):
        self.tests, self.__name__ = tests, f"row {number}"


def run(row):
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile() as log:
        path = subprocess.run([MAKE_DEMO, folder], check=True, capture_output=True,
                              text=True).stdout.strip().splitlines()[0]
        remember(folder)
        with driver.start(RAKELIGHT, path, log=log.name) as program:
            bench = Bench(program, path, folder)
            for test in row.tests:
                test(bench)
                print(f"ok {test.__name__}", flush=True)
        said = open(log.name).read()
        assert not re.search("WARNING|CRITICAL", said), said


def main():
    rows = [Row(number, tests) for number, tests in enumerate(TESTS, 1)]
    return driver.run_each(rows, run, [f"row {number}" for number in sys.argv[6:]])


if __name__ == "__main__":
    sys.exit(main())
