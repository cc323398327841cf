#!/usr/bin/python3
"""lay-by-hand.py RAKELIGHT RAKELIGHT-CLI: a photograph laid on its face by dragging points, a mark
drawn on it and found again in the job file, on the map; and a face whose outline is drawn over a
photograph that EXIF turns. Run under on-display.

The picture is computed: tests/pictures/raking/README.md tells what is known of it. Where a pixel truly
lies on the face is reckoned here with numpy from `frame_mm`, which the program never sees; its 32
places are rounded to a millimetre, so that what is reckoned from all of them is good to a third of one.
"""
import glob
import json
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import numpy
from PIL import Image

import driver

RAKELIGHT, CLI = sys.argv[1:3]
PICTURES = pathlib.Path(__file__).resolve().parents[1] / "pictures" / "raking"
NAME = "raking-10"
WAIT_S = 30  # for what comes in a moment on a machine with nothing else to do
TRUTH = json.loads((PICTURES / f"{NAME}.json").read_text("utf-8"))
WIDTH, HEIGHT = TRUTH["image_size"]


# --- the truth --------------------------------------------------------------------------------------

def frame_px():
    """The places of frame_mm: eight a side, from the upper left corner clockwise."""
    eighths = numpy.arange(8) / 8
    return ([(WIDTH * t, 0) for t in eighths] + [(WIDTH, HEIGHT * t) for t in eighths] +
            [(WIDTH * (1 - t), HEIGHT) for t in eighths] + [(0, HEIGHT * (1 - t)) for t in eighths])


def straighten(px, radial):
    """Undoes the lens: what is seen at r (1 + radial r²) lies at r, in halves of the diagonal."""
    half = math.hypot(WIDTH, HEIGHT) / 2
    u, v = (px[0] - WIDTH / 2) / half, (px[1] - HEIGHT / 2) / half
    seen = r = math.hypot(u, v)
    for _ in range(20):
        r = seen / (1 + radial * r * r)
    return (u, v) if seen == 0 else (u * r / seen, v * r / seen)


def fit(radial):
    """The projection from straightened places to mm, by its linear equations; and what is left over."""
    rows, right = [], []
    places = [straighten(px, radial) for px in frame_px()]
    for (u, v), (x, y) in zip(places, TRUTH["truth"]["frame_mm"]):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        right += [x, y]
    h = numpy.append(numpy.linalg.lstsq(numpy.array(rows), numpy.array(right), rcond=None)[0], 1)
    h = h.reshape(3, 3)
    left = [math.dist(project(h, place), mm) for place, mm in zip(places, TRUTH["truth"]["frame_mm"])]
    return math.sqrt(sum(one * one for one in left) / len(left)), radial, h


def project(h, place):
    x, y, w = h @ (*place, 1)
    return x / w, y / w


LEFT_MM, RADIAL, H = min((fit(radial / 1000) for radial in range(-60, 61)), key=lambda one: one[0])


def true_mm(px):
    return project(H, straighten(px, RADIAL))


# --- the job ----------------------------------------------------------------------------------------

def run(*arguments):
    return subprocess.run([CLI, *map(str, arguments)], check=True, capture_output=True, text=True).stdout


def make_job(folder):
    """A job with the picture's outline as its face, and the picture."""
    width = max(x for x, _ in TRUTH["outline"])
    height = max(y for _, y in TRUTH["outline"])
    drawing, path = folder / "face.svg", folder / "face.rakejob"
    rings = ["M " + " L ".join(f"{x} {y}" for x, y in ring) + " Z"
             for ring in [TRUTH["outline"], *TRUTH["holes"]]]
    drawing.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
                       f'viewBox="0 0 {width} {height}"><path d="{" ".join(rings)}"/></svg>', "utf-8")
    run("new", path, "--name", "Slab 3", "--face", "Top", "--svg", drawing, "--schedule", "P800,P1200")
    run("photo", "add", path, PICTURES / f"{NAME}.jpg", "--face", "Top", "--view", "from the door")
    return path


# --- the hand ---------------------------------------------------------------------------------------

class Side:
    """One side's points, which tell where they lie, and so where everything does."""

    def __init__(self, program, view, where, unit):
        self.program, self.view = program, view
        self.pattern = re.compile(rf"Point (\d+) {where}, at (-?[\d.]+), (-?[\d.]+) {unit}")
        self.nodes = {}

    def node(self, number):
        if number not in self.nodes:
            self.nodes[number] = self.view.wait_for(re.compile(self.pattern.pattern.replace(
                r"(\d+)", str(number), 1)), seconds=WAIT_S)
        return self.nodes[number]

    def place(self, number):
        # The bus gives no name at all when a busy program does not answer it in time.
        found = driver.wait_until(lambda: self.pattern.search(self.node(number).name),
                                  f"point {number} to tell where it is", WAIT_S)
        return tuple(map(float, found.groups()[1:]))

    def measure(self):
        """Screen pixels for one unit, and where 0, 0 lies: told by two points far apart."""
        (x0, y0), (x1, y1) = self.place(1), self.place(3)
        (sx0, sy0), (sx1, sy1) = self.node(1).at(), self.node(3).at()
        self.scale = math.hypot(sx1 - sx0, sy1 - sy0) / math.hypot(x1 - x0, y1 - y0)
        self.left, self.top = sx0 - x0 * self.scale, sy0 - y0 * self.scale
        return self.scale

    def come_nearer(self, x, y, notches):
        self.program.scroll(self.on_screen(x, y), -notches)
        nearer = self.scale * 1.25 ** notches
        driver.wait_until(lambda: math.isclose(self.measure(), nearer, rel_tol=0.01), "the zoom", WAIT_S)

    def on_screen(self, x, y):
        return round(self.left + x * self.scale), round(self.top + y * self.scale)

    def at_screen(self, x, y):
        return (x - self.left) / self.scale, (y - self.top) / self.scale

    def rest(self, number):
        """Where a point lies once it does not move any more."""
        seen = []

        def rests():
            seen.append(self.place(number))
            return seen[-3:] == [seen[-1]] * 3

        driver.wait_until(rests, f"point {number} to rest", WAIT_S)
        return seen[-1]

    def put(self, number, x, y, step):
        """Drags a point to its place, and goes what is lacking by arrows, with Shift ten steps at once."""
        self.program.drag(self.on_screen(*self.place(number)), self.on_screen(x, y))
        for _ in range(10):
            at = self.rest(number)
            lacking = [("Left", "Right", x - at[0]), ("Up", "Down", y - at[1])]
            keys = [key for back, forth, off in lacking
                    for key in self._steps(forth if off > 0 else back, round(abs(off) / step))]
            if not keys:
                return
            self.program.stroke(*keys)
        raise driver.Missing(f"point {number} does not come to {x}, {y} from {at}")

    @staticmethod
    def _steps(key, count):
        return [f"shift+{key}"] * (count // 10) + [key] * (count % 10)


def lay(program, n_pairs):
    photo = Side(program, program.wait_for(re.compile("^Photograph raking"), shown=True),
                 "in the photograph", "pixels")
    face = Side(program, program.wait_for("Drawing of the face"), "on the drawing", "mm")
    photo.measure()
    face.measure()
    step_mm = max(0.1, 0.25 / face.scale)
    for number, pair in enumerate(TRUTH["point_pairs"][:n_pairs], 1):
        if number > 4:
            program.wait_for("One more pair", "push button").click()
        face.put(number, *pair["body"], step_mm)
        photo.put(number, *pair["image"], 1)
    return photo


def entries(path, kind):
    return [entry for entry in map(json.loads, run("export", path).splitlines())
            if entry.get("kind") == kind]


def open_page(program):
    program.wait_for("Zones of the face", "list box", seconds=WAIT_S)
    program.key("ctrl+r")
    program.wait_for(re.compile("Point 4 in the photograph"), seconds=WAIT_S)


def a_photograph_is_laid_by_dragging_and_a_mark_found_within_a_millimetre(program, path):
    open_page(program)
    photo = lay(program, 6)
    program.wait_for(re.compile(r"The pairs are off by 0\.\d\d mm"), seconds=WAIT_S)
    program.wait_for("Keep it so", "push button").click()
    kept = driver.wait_until(lambda: entries(path, "registration"), "the registration", WAIT_S)[-1]
    assert len(kept["pairs"]) == 6 and kept["rms_mm"] < 1, kept
    start, end = (1206, 274), (1323, 205)           # a scratch that is there, far from the cavities
    # Nearer: a pixel of the screen would be a millimetre else.
    photo.come_nearer(1265, 240, 8)
    program.wait_for("Draw on it").click()
    program.key("3")                                # the brush for a scratch
    program.drag(photo.on_screen(*start), photo.on_screen(*end))
    mark, = driver.wait_until(lambda: entries(path, "mark"), "the mark", WAIT_S)
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", mark["shape"])]
    for drawn, found in ((start, numbers[:2]), (end, numbers[-2:])):
        # Where the hand really was: on a whole pixel of the screen.
        there = photo.at_screen(*photo.on_screen(*drawn))
        off = math.dist(true_mm(there), found)
        print(f"  mark at {found}, off by {off:.2f} mm")
        assert off < 1, (true_mm(there), found)
    evidence = entries(path, "photo")[-1]
    assert evidence["marks"] == [mark["id"]], evidence


# --- an outline over a photograph --------------------------------------------------------------------

BOARD_MM, CARD_AT_MM, CARD_MM = (300, 200), (25, 20), (240, 160)
UPRIGHT_PX = (1200, 900)
GREY, GREEN, PURPLE = (90, 90, 90), (0, 150, 110), (150, 0, 170)  # behind, board and card: as nothing else is


def photograph_board(path):
    """A board seen askew, with a card on it, stored a quarter turn anticlockwise, which Orientation 6 undoes (Exif
    2.32, tag 274; from memory). Returns where the card's upper left corner lies in the file."""
    see = numpy.array([[3.2, 0.25, 110], [-0.15, 3.1, 150], [0.0003, -0.0005, 1]])
    x, y, w = numpy.linalg.inv(see) @ numpy.stack(
        [*numpy.meshgrid(numpy.arange(UPRIGHT_PX[0]) + 0.5, numpy.arange(UPRIGHT_PX[1]) + 0.5),
         numpy.ones(UPRIGHT_PX[::-1])]).reshape(3, -1)
    x, y = x / w, y / w
    rgb = numpy.full((UPRIGHT_PX[1], UPRIGHT_PX[0], 3), GREY, numpy.uint8)
    for colour, (left, top), (width, height) in ((GREEN, (0, 0), BOARD_MM), (PURPLE, CARD_AT_MM, CARD_MM)):
        is_there = (x > left) & (x < left + width) & (y > top) & (y < top + height)
        rgb[is_there.reshape(rgb.shape[:2])] = colour
    upright = Image.fromarray(rgb)
    exif = Image.Exif()
    exif[0x0112] = 6
    upright.transpose(Image.Transpose.ROTATE_90).save(path, quality=92, subsampling=0, exif=exif)
    corner = project(see, CARD_AT_MM)
    return corner[1], UPRIGHT_PX[0] - corner[0]


def find_corners(picture, colours):
    """The outer corners of what has these colours on the screen, as an eye finds them: upper left, then clockwise.
    A pixel at an edge is of the colour that it is nearest to."""
    pixels = numpy.asarray(Image.open(picture).convert("RGB")).astype(int)
    far = [abs(pixels - colour).sum(axis=2) for colour in (GREY, GREEN, PURPLE)]
    nearest = numpy.argmin(far, axis=0)
    is_there = numpy.isin(nearest, colours) & (numpy.min(far, axis=0) < 130)
    y, x = numpy.nonzero(is_there)
    assert len(x) > 5000, f"{len(x)} pixels of the board on the screen"
    return [(int(x[i]) + right, int(y[i]) + low)
            for i, right, low in (((x + y).argmin(), 0, 0), ((x - y).argmax(), 1, 0),
                                  ((x + y).argmax(), 1, 1), ((x - y).argmin(), 0, 1))]


def choose(program, path):
    program.wait_for("Outline over a photograph")
    program.type("/")                                   # the chooser asks for a path then
    program.wait_for(None, "text", "focused")
    program.key("ctrl+a")
    program.type(str(path))
    program.key("Return")


def press(program, name):
    program.wait_for(name, "push button", states="sensitive", seconds=WAIT_S).click()


def enter(program, name, number):
    program.wait_for(name, "spin button").click()
    program.key("ctrl+a")
    program.type(str(number))
    program.key("Tab")


def an_outline_is_drawn_over_a_turned_photograph(folder, log):
    photo = folder / "board.jpg"
    corner_px = photograph_board(photo)
    with driver.start(RAKELIGHT, log=log) as program:
        press(program, "New job")
        program.wait_for("Name of the job", "text").click()
        program.type("Board")
        for _ in range(2):
            press(program, "Next")
        press(program, "Draw the outline over a photograph…")
        choose(program, photo)
        program.wait_for(re.compile("^Tap the two ends of a length"), "label", seconds=WAIT_S)
        program.wait_for("A rectangle by its four corners", "check box").click()
        enter(program, "Its upper side, mm", CARD_MM[0])
        enter(program, "Its other side, mm", CARD_MM[1])
        screen = folder / "screen.png"
        program.picture(str(screen))
        for corner in find_corners(screen, [2]):
            program.click(corner)
        # it goes on to the edge by itself
        program.wait_for(re.compile("^Tap points along the edge"), "label", seconds=WAIT_S)
        corners = find_corners(screen, [1, 2])
        for corner in [*corners, corners[0]]:
            program.click(corner)
        press(program, "Take this outline")  # the corners stay corners, though it draws curves
        press(program, "Next")
        press(program, "Start the job")
        program.wait_for("Zones of the face", "list box", seconds=WAIT_S)
        path, = glob.glob(os.path.join(os.environ["HOME"], "**", "*.rakejob"), recursive=True)
        face, = entries(path, "face")
        laid, = driver.wait_until(lambda: entries(path, "registration"), "the registration", WAIT_S)
        shown, = entries(path, "photo")
    numbers = numpy.array(re.findall(r"-?[\d.]+", face["outline"]), float).reshape(-1, 2)
    area = abs(numpy.cross(numbers[:-1], numbers[1:]).sum()) / 2
    print(f"  {numbers.max(axis=0) - numbers.min(axis=0)} mm, {area:.0f} mm², {area / (BOARD_MM[0] * BOARD_MM[1]) - 1:+.2%}")
    assert abs(area / (BOARD_MM[0] * BOARD_MM[1]) - 1) < 0.01, numbers
    for extent, side in zip(numbers.max(axis=0) - numbers.min(axis=0), BOARD_MM):
        assert abs(extent / side - 1) < 0.01, numbers
    assert shown["turn"] == 6 and shown["face"] == face["id"], shown
    pair = min(laid["pairs"], key=lambda pair: math.hypot(pair["x_px"] - corner_px[0],
                                                          pair["y_px"] - corner_px[1]))
    # The outline's box begins at 0, 0, and so does the board.
    assert math.hypot(pair["x_px"] - corner_px[0], pair["y_px"] - corner_px[1]) < 6, (pair, corner_px)
    assert math.dist((pair["x_mm"], pair["y_mm"]), CARD_AT_MM) < 2, pair
    run("verify", path)


TESTS = [a_photograph_is_laid_by_dragging_and_a_mark_found_within_a_millimetre,
         an_outline_is_drawn_over_a_turned_photograph]


def try_one(test):
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile() as log:
        if test is an_outline_is_drawn_over_a_turned_photograph:
            test(pathlib.Path(folder), log.name)
        else:
            path = make_job(pathlib.Path(folder))
            with driver.start(RAKELIGHT, path, log=log.name) as program:
                test(program, path)
        said = open(log.name).read()
        assert not re.search("WARNING|CRITICAL", said), said


if __name__ == "__main__":
    sys.exit(driver.run_each(TESTS, try_one, sys.argv[3:]))
