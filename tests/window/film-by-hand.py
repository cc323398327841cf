#!/usr/bin/python3
"""film-by-hand.py RAKELIGHT MAKE-DEMO RAKELIGHT-CLI: readings, grits, wheels and units worked by hand
on the demonstration job, and what the job file then says; its report saved and printed by the desktop's
dialogs. Run under on-display."""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

import driver

RAKELIGHT, MAKE_DEMO, CLI = sys.argv[1:4]


class Bench:
    def __init__(self, program, path):
        self.program, self.path = program, path
        self.map = program.wait_for("Zones of the face", "list box")

    def entries(self, kind):
        text = subprocess.run([CLI, "export", self.path], check=True, capture_output=True,
                              text=True).stdout
        return [entry for entry in map(json.loads, text.splitlines()) if entry.get("kind") == kind]

    def film(self):
        return self.program.wait_for(re.compile("µm left|mil left"), "image").name

    def select(self, name):
        zone = self.map.find(re.compile(f"{name}: "), shown=True)
        zone.activate("zone.select")
        driver.wait_until(lambda: self.map.find(re.compile(f"{name}: ")).has("selected"), name)


def is_pdf(path):
    return path.exists() and subprocess.run(["pdfinfo", path], capture_output=True, check=False).returncode == 0


def tell_pdf(path):
    lines = subprocess.run(["pdfinfo", path], check=True, capture_output=True, text=True).stdout.splitlines()
    return {name: told.strip() for name, told in (line.split(":", 1) for line in lines)}


def readings_are_typed_one_after_another(bench):
    program = bench.program
    bench.select("Lower bass")
    before = bench.film()
    program.key("f")
    program.wait_for("Readings on “Lower bass”")
    program.type("96 98,5")
    program.key("Return")
    program.wait_for(re.compile("2 readings since it was last worked: 97"))
    program.type("3.9 mil")
    program.key("Return")
    program.wait_for(re.compile("3 readings since it was last worked"))
    program.type("97\n98\n")                        # with no breath between them
    program.wait_for(re.compile("5 readings since it was last worked"))
    program.key("Escape")
    values = [entry["value"] for entry in bench.entries("reading")][-5:]
    assert [round(value, 2) for value in values] == [96, 98.5, 99.06, 97, 98], values
    driver.wait_until(lambda: bench.film() != before, "another film")


def what_is_no_reading_is_refused_in_a_sentence(bench):
    program = bench.program
    bench.select("Lower bass")
    n_before = len(bench.entries("reading"))
    program.key("f")
    program.wait_for("Readings on “Lower bass”")
    for nonsense in ("9000", "1.000,5", "fine", "96 x"):
        program.type(nonsense)
        program.key("Return")
        program.key("ctrl+a", "BackSpace")
    program.type("97")
    program.key("Return")
    program.wait_for(re.compile("1 reading since it was last worked: 97"))
    program.key("Escape")
    n_before += 1                                   # the one that was a number
    assert len(bench.entries("reading")) == n_before


def a_schedule_is_chosen_from_those_that_nothing_beats(bench):
    program = bench.program
    n_before = len(bench.entries("schedule"))
    bench.select("Lower bass")
    program.key("ctrl+g")
    program.wait_for("Schedules that no other beats")
    program.wait_for("Use this schedule").activate()
    bench.map.wait_for(re.compile("Lower bass: "))
    driver.wait_until(lambda: len(bench.entries("schedule")) == n_before + 1, "the schedule")
    grades = [stage.get("grade") for stage in bench.entries("schedule")[-1]["stages"]]
    assert grades[0] == "P800", grades              # it was begun, so it stays
    program.key("ctrl+z")
    bench.map.wait_for(re.compile("Lower bass: "))


def a_wheel_is_told_and_keeps_to_its_compound(bench):
    program = bench.program
    bench.select("Lower bass")
    program.key("ctrl+b")
    program.wait_for("A new wheel…").activate()
    program.wait_for("A new wheel")
    program.type("Left wheel")
    program.key("Tab")
    program.type("medium cut")
    program.key("Tab", "Tab")
    for number in ("350", "75", "1425", "63", "125"):
        program.type(number)
        program.key("Tab")
    program.wait_for(re.compile("Its rim runs at 13.2 m/s"))  # π · 0.35 · 1425 · 63/125 / 60
    program.key("Return")
    program.wait_for("Carries medium cut, and only that.")
    program.wait_for("Left wheel: Stripped").activate()
    program.wait_for("Carries nothing yet.")
    assert [entry.get("work") for entry in bench.entries("wheel")][-2:] == ["new", "stripped"]


def units_are_chosen_once_for_everything(bench):
    bench.select("Lower bass")
    assert "µm" in bench.film()
    bench.program.key("F10")
    bench.program.wait_for("Units").click()
    bench.program.wait_for("Thousandths of an inch, mil").click()
    driver.wait_until(lambda: "mil" in bench.film(), "the film in mil")


def the_report_is_saved_by_the_chooser_and_printed_to_a_file(bench):
    program = bench.program
    folder = pathlib.Path(bench.path).parent
    program.key("ctrl+p")
    program.wait_for(re.compile("Print…"), "push button", "sensitive")  # its pages are there then
    program.wait_for(re.compile("Save PDF…"), "push button").activate()
    name = program.wait_for("Name:", "text", "focused")
    program.key("ctrl+a")
    program.type(str(folder / "chosen.pdf"))
    driver.wait_until(lambda: name.text == str(folder / "chosen.pdf"), "the name as it was typed")
    program.key("Return")
    driver.wait_until(lambda: is_pdf(folder / "chosen.pdf"), "the report as it was saved")
    saved = tell_pdf(folder / "chosen.pdf")
    assert saved["Title"] == "Finish record: Octave mandola 14" and int(saved["Pages"]) > 5, saved

    program.wait_for(re.compile("Print…"), "push button", "sensitive").activate()
    program.wait_for("Print", "dialog")
    program.key("Escape")
    program.wait_until_gone("Print", "dialog")
    program.wait_for(re.compile("Print…"), "push button", "sensitive").activate()
    program.wait_for("Print to File", "label").click()
    program.wait_for("Print", "push button", "sensitive").click()
    program.wait_until_gone("Print", "dialog")
    printed = folder / "Octave mandola 14.pdf"  # as it is named unless somebody says otherwise
    driver.wait_until(lambda: is_pdf(printed), "the report as it was printed")
    told = tell_pdf(printed)
    assert (told["Pages"], told["Page size"]) == (saved["Pages"], saved["Page size"]), told
    text = subprocess.run(["pdftotext", printed, "-"], check=True, capture_output=True, text=True).stdout
    assert f"{saved['Pages']} of {saved['Pages']}" in text


TESTS = [readings_are_typed_one_after_another, what_is_no_reading_is_refused_in_a_sentence,
         a_schedule_is_chosen_from_those_that_nothing_beats,
         a_wheel_is_told_and_keeps_to_its_compound, units_are_chosen_once_for_everything,
         the_report_is_saved_by_the_chooser_and_printed_to_a_file]


def run(test):
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile() as log:
        path = subprocess.run([MAKE_DEMO, folder], check=True, capture_output=True,
                              text=True).stdout.strip().splitlines()[0]
        with driver.start(RAKELIGHT, path, env={"HOME": folder}, log=log.name) as program:
            test(Bench(program, path))
        said = open(log.name).read()
        assert not re.search("WARNING|CRITICAL", said), said


if __name__ == "__main__":
    sys.exit(driver.run_each(TESTS, run, sys.argv[4:]))
