#!/usr/bin/python3
"""photo-pictures.py RAKELIGHT RAKELIGHT-CLI THEME PICTURES: pictures of a photograph being laid on its face, of an
outline drawn over one, and of the camera, for the documentation. Run under on-display; the camera only where
GStreamer can show a file. RAKE_SIZE is the window's, 1280x720 unless said."""
import gettext
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
import driver  # noqa: E402

RAKELIGHT, CLI, THEME = sys.argv[1:4]
OUT = pathlib.Path(sys.argv[4])
PICTURES = pathlib.Path(__file__).resolve().parents[1] / "pictures" / "raking"
NAME = "raking-10"
TRUTH = json.loads((PICTURES / f"{NAME}.json").read_text("utf-8"))
SEEN = (f"filesrc location={PICTURES / NAME}.jpg ! jpegdec ! imagefreeze is-live=true ! videoconvert "
        "! videoscale ! video/x-raw,width=1280,height=960,framerate=5/1")


def run(*arguments):
    subprocess.run([CLI, *map(str, arguments)], check=True, capture_output=True)


def make_job(folder):
    width, height = (max(point[axis] for point in TRUTH["outline"]) for axis in (0, 1))
    drawing, path, pairs = folder / "face.svg", folder / "slab-3.rakejob", folder / "pairs"
    rings = ["M " + " L ".join(f"{x} {y}" for x, y in ring) + " Z"
             for ring in [TRUTH["outline"], *TRUTH["holes"]]]
    drawing.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
                       f'viewBox="0 0 {width} {height}"><path d="{" ".join(rings)}"/></svg>', "utf-8")
    pairs.write_text("".join("{} {} {} {}\n".format(*pair["image"], *pair["body"])
                             for pair in TRUTH["point_pairs"][:6]), "utf-8")
    run("new", path, "--name", "Slab 3", "--face", "Top", "--svg", drawing, "--schedule", "P800,P1200")
    run("photo", "add", path, PICTURES / f"{NAME}.jpg", "--face", "Top", "--view", "from the door")
    run("photo", "register", path, "1", "--pairs", pairs)
    return path


WORDS = gettext.translation("rakelight", os.environ.get("RAKELIGHT_LOCALEDIR"),
                            [os.environ.get("LANGUAGE", "en")], fallback=True)


def say(words, context=None):
    return WORDS.pgettext(context, words) if context else WORDS.gettext(words)


def keep(name):
    time.sleep(2)  # nothing tells that the last picture is drawn
    subprocess.run(["import", "-silent", "-window", "root", str(OUT / f"{name}-{THEME}.png")], check=True)


def start(*arguments):
    program = driver.start(RAKELIGHT, *arguments, env={"RAKELIGHT_THEME": THEME, "RAKELIGHT_CAMERA": SEEN})
    time.sleep(2)
    return program


def press(program, name):
    program.wait_for(name, "push button", states="sensitive").click()


def trace(program):
    press(program, say("New job"))
    program.wait_for(say("Name of the job"), "text").click()
    program.type("Board")
    for _ in range(2):
        press(program, say("Next", "assistant"))
    press(program, say("Draw the outline over a photograph…"))
    program.wait_for(say("Outline over a photograph"))
    program.type("/")
    program.wait_for(None, "text", "focused")
    program.key("ctrl+a")
    program.type(str(PICTURES / f"{NAME}.jpg"))
    program.key("Return")
    program.wait_for(say("A rectangle by its four corners"), "check box").click()
    keep("trace")


def main():
    size = os.environ.get("RAKE_SIZE", "1280x720").split("x")
    settings = pathlib.Path(os.environ["XDG_CONFIG_HOME"]) / "rakelight" / "settings.ini"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text("[window]\ntheme={}\nwidth={}\nheight={}\n".format(THEME, *size), "utf-8")
    with tempfile.TemporaryDirectory() as folder:
        with start(make_job(pathlib.Path(folder))) as program:
            program.key("ctrl+r")
            keep("lay")
            program.key("ctrl+k")
            time.sleep(4)  # the module is loaded, the camera begins
            keep("camera")
    with start() as program:
        trace(program)


main()
