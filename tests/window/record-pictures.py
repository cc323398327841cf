#!/usr/bin/python3
"""record-pictures.py RAKELIGHT DEMO-FOLDER THEME PICTURES: pictures of the record page of two of the
demonstration jobs (data/demo/make.sh), for the documentation. Run under on-display."""
import os
import shutil
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
import driver  # noqa: E402

WINDOW, DEMO, THEME, PICTURES = sys.argv[1:5]


def keep(program, name):
    time.sleep(0.8)
    program.picture(os.path.join(PICTURES, f"{name}-{THEME}.png"))


def show(job, stations):
    with tempfile.TemporaryDirectory() as folder:
        path = shutil.copy(os.path.join(DEMO, job), folder)
        with driver.start(WINDOW, path, env={"RAKELIGHT_THEME": THEME}) as program:
            time.sleep(1)
            stations(program)


def go_to(program, part):
    tabs = program.find_all(role="toggle button")
    tabs[part].click()


def of_a_piece_that_left(program):
    keep(program, "closed")
    program.key("ctrl+d")
    time.sleep(1)
    keep(program, "defects")
    parts = [node for node in program.find_all() if node.role in ("tab", "page tab", "radio button")]
    parts[1].click()
    keep(program, "handed-over")
    parts[2].click()
    keep(program, "claim")


def of_one_that_is_still_here(program):
    program.key("ctrl+d")
    time.sleep(1)
    parts = [node for node in program.find_all() if node.role in ("tab", "page tab", "radio button")]
    parts[1].click()
    keep(program, "hand-over")


show("fallboard-31.rakejob", of_a_piece_that_left)
show("writing-box-6.rakejob", of_one_that_is_still_here)
