#!/usr/bin/python3
"""test-driver.py DEMO-WINDOW [TEST...]: the driver sees and touches what is really there.

Run under on-display; with --touch the fingers are tried too. The last line counts."""
import os
import re
import sys
import tempfile
import subprocess

import driver

HERE = os.path.dirname(os.path.abspath(__file__))


class Bench:
    """The demo window, and what it last said."""

    def __init__(self, program):
        self.program = program

    def says(self, words):
        self.program.wait_for(words, "label", seconds=5)

    def plate(self):
        return self.program.wait_for("Plate")


def dragged(across, down):
    """What the window says of a drag over so many pixels of the screen."""
    scale = int(os.environ["GDK_SCALE"])
    return f"dragged {across / scale:.0f},{down / scale:.0f}"


def a_click_is_heard(bench):
    bench.program.wait_for("Press", "push button").click()
    bench.says("pressed")


def typed_text_arrives_whatever_its_letters(bench):
    note = bench.program.wait_for("Note", "text")
    note.write("12 µm – ½ für Ö")
    bench.says("typed 12 µm – ½ für Ö")
    assert note.text == "12 µm – ½ für Ö", f"{note.text}\n{bench.program.tree()}"
    note.write("")
    assert note.text == "", note.text


def a_state_follows_its_widget(bench):
    tick = bench.program.wait_for("Tick", "check box")
    assert not tick.has("checked")
    tick.click()
    bench.program.wait_for("Tick", "check box", "checked", seconds=5)
    tick.click()
    driver.wait_until(lambda: not tick.has("checked"), "tick to go", 5)


def a_value_is_read_and_set(bench):
    count = bench.program.wait_for("Count", "spin button")
    count.value = 7
    bench.says("counted 7")
    assert count.value == 7


def a_drag_is_right_to_the_pixel(bench):
    plate = bench.plate()
    (x0, y0), (x1, y1) = plate.at(0.25, 0.25), plate.at(0.75, 0.5)
    bench.program.drag((x0, y0), (x1, y1))
    bench.says(dragged(x1 - x0, y1 - y0))


def a_place_is_right_to_the_pixel(bench):
    """A yellow quarter begins at the plate's very corner: look at the pixels on both sides of it."""
    x, y = bench.plate().at(0, 0)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "screen.png")
        bench.program.picture(path)
        seen = subprocess.run(["convert", path, "-format",
                               "".join(f"%[hex:u.p{{{px},{py}}}] " for px, py in
                                       ((x, y), (x - 1, y), (x, y - 1))), "info:"],
                              capture_output=True, text=True, check=True).stdout.split()
    assert seen[0].startswith("FFD178"), seen
    assert not seen[2].startswith("FFD178"), seen


def a_long_press_is_heard(bench):
    bench.program.click(bench.plate().at(0.5, 0.5), hold=0.9)
    _, _, width, height = bench.plate().box
    bench.says(re.compile(rf"^held at {round(width / 2)},{round(height / 2)}$"))


def the_wheel_turns_both_ways(bench):
    bench.program.scroll(bench.plate(), 1)
    bench.says("turned 1")
    bench.program.scroll(bench.plate(), -1)
    bench.says("turned -1")


def keys_and_menus_reach_actions(bench):
    bench.program.key("ctrl+b")
    bench.says("chosen")
    bench.program.wait_for("Press", "push button").click()
    bench.says("pressed")
    bench.program.wait_for("More").click()
    bench.program.wait_for("Choose").click()
    bench.says("chosen")


def an_action_is_done_by_name(bench):
    assert bench.plate().description == "where the fingers go"
    bench.plate().activate("plate.mark")
    bench.says("marked")
    try:
        bench.plate().activate("plate.polish")
    except driver.Missing:
        return
    raise AssertionError("an action that is not there was done")


def what_never_comes_is_missed(bench):
    try:
        bench.program.wait_for("no such thing", seconds=0.2)
    except driver.Missing as missing:
        assert "'Press'" in str(missing), "the tree is not shown"
        return
    raise AssertionError("found what is not there")


def fingers_tap_hold_drag_and_pinch(bench):
    touch, plate = driver.Touch(), bench.plate()
    touch.tap(bench.program.wait_for("Press", "push button"))
    bench.says("pressed")
    touch.hold(plate)
    bench.says(re.compile("^held at "))
    touch.drag(plate.at(0.25), plate.at(0.75))
    bench.says(dragged(plate.at(0.75)[0] - plate.at(0.25)[0], 0))
    touch.pinch(plate, 60, 180)
    bench.says("pinched to 3.0")


def a_closed_window_ends_the_program(bench):
    bench.program.key("ctrl+w")
    assert bench.program.wait_end(10) == 0


TESTS = [a_click_is_heard, typed_text_arrives_whatever_its_letters, a_state_follows_its_widget,
         a_value_is_read_and_set, a_drag_is_right_to_the_pixel, a_place_is_right_to_the_pixel,
         a_long_press_is_heard, the_wheel_turns_both_ways, keys_and_menus_reach_actions,
         an_action_is_done_by_name, what_never_comes_is_missed]


def main():
    tests = list(TESTS)
    if os.environ.get("ON_DISPLAY_FINGERS"):
        tests.append(fingers_tap_hold_drag_and_pinch)
    tests.append(a_closed_window_ends_the_program)
    failed = 0
    with driver.start(sys.argv[1]) as program:
        for test in tests:
            try:
                test(Bench(program))
                print(f"ok {test.__name__}", flush=True)
            except Exception as error:  # the next test may still tell more
                failed += 1
                print(f"not ok {test.__name__}: {error}", flush=True)
    print(f"{len(tests) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
