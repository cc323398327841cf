#!/usr/bin/python3
"""test-by-hand.py RAKELIGHT MAKE-DEMO: the demonstration job worked with mouse, keys, fingers and by
the actions a screen reader offers. Each test starts the program on a fresh copy of the job.

Run under on-display; with --touch the fingers are tried instead of the mouse."""
import functools
import os
import re
import subprocess
import sys
import tempfile
import time

import driver

RAKELIGHT, MAKE_DEMO = sys.argv[1], sys.argv[2]


@functools.lru_cache
def touch():
    """The touch screen takes one caller, once."""
    return driver.Touch()


class Bench:
    def __init__(self, program, folder, path):
        self.program, self.folder, self.path = program, folder, path
        self.map = program.wait_for("Zones of the face", "list box")

    def zone(self, name):
        return self.map.find(re.compile(f"{name}: "), shown=True)

    def wait_for_zone(self, words):
        """Words as a pattern: "Lower bass: Look again"."""
        return self.program.wait_for(re.compile(words))

    def marks(self, pattern):
        return self.map.find_all(re.compile(pattern), "list item")

    def select(self, name):
        """By keys alone: towards it, along the longer way first, until it is selected."""
        def middle(node):
            x, y, width, height = node.box
            return x + width / 2, y + height / 2

        if not self.map.find(states="selected"):
            self.program.key("Home")
        for _ in range(12):
            here = self.map.find(states="selected")
            if here == self.zone(name):
                return
            (x, y), (to_x, to_y) = middle(here), middle(self.zone(name))
            across, down = to_x - x, to_y - y
            self.program.key(("Right" if across > 0 else "Left") if abs(across) > abs(down)
                             else ("Down" if down > 0 else "Up"))
            time.sleep(0.1)
        raise AssertionError(f"{name} was not reached\n{self.map.tree()}")

    def wait_until_selected(self, name):
        driver.wait_until(lambda: self.zone(name).has("selected"), f"{name} to be selected")


# --- keys -------------------------------------------------------------------------------------

def the_whole_cycle_without_a_mouse(bench):
    key = bench.program.key
    bench.select("Lower bass")
    key("Return")                                       # a pass was made
    bench.wait_for_zone("Lower bass: Look again")
    assert len(bench.marks("Scratch.*Lower bass, from before")) == 1
    key("Tab", "Tab", "Return")                         # to the chip: "There", "Gone"
    driver.wait_until(lambda: not bench.marks("Scratch.*Lower bass"), "the scratch to go")
    key("space")                                        # all even
    bench.wait_for_zone("Lower bass: Ready")


def a_mark_is_drawn_by_keys(bench):
    key = bench.program.key
    bench.select("Waist bass")
    key("3", "m")
    driver.wait_until(lambda: "Cross at" in bench.map.description, "the cross to be told")
    key("m", "Right", "Right", "Down", "m")
    driver.wait_until(lambda: bench.marks("Scratch, 11.*Waist bass"), "the scratch")
    key("Escape", "ctrl+z")
    driver.wait_until(lambda: not bench.marks("Scratch.*Waist bass"), "the scratch to go")


def another_pass_on_a_ready_zone_is_asked_about(bench):
    bench.select("Waist bass")
    bench.program.key("Return")
    bench.program.wait_for("Another pass here?")
    bench.program.key("Escape")
    bench.program.wait_until_gone("Another pass here?")
    bench.wait_for_zone("Waist bass: Ready")


def the_zone_taken_up_next_is_a_key_away(bench):
    bench.select("Upper bass")
    bench.program.key("n")
    bench.wait_until_selected("Lower treble")           # the burn: repair comes first


# --- what a screen reader does ------------------------------------------------------------------

def a_zone_is_worked_through_its_actions(bench):
    bench.zone("Lower bass").activate("zone.select")
    bench.wait_until_selected("Lower bass")
    bench.zone("Lower bass").activate("zone.pass-done")
    bench.wait_for_zone("Lower bass: Look again")
    bench.marks("Scratch.*Lower bass")[0].activate("mark.still-there")
    driver.wait_until(lambda: not bench.marks("Scratch.*Lower bass, from before"), "the answer")
    bench.zone("Lower bass").activate("zone.all-even")
    bench.wait_for_zone("Lower bass: Sand again")       # the scratch is still there


# --- mouse ------------------------------------------------------------------------------------

def bring_into_view(bench, name):
    """Turns the wheel over the side panel until the button can be clicked."""
    window = bench.program.find(role="frame")

    def seen():
        button = bench.program.wait_for(name, "push button")
        _, y, _, height = button.box
        return button if y + height < window.box[3] else None

    for _ in range(40):
        if seen():
            return seen()
        bench.program.scroll(window.at(0.9, 0.8), 2)
        time.sleep(driver.GLANCE)
    raise driver.Missing(f"{name} never came into view")


def a_zone_is_accepted_from_the_side_panel(bench):
    program = bench.program
    program.click(bench.zone("Lower bass").at(0.2, 0.3))
    bench.wait_until_selected("Lower bass")
    bring_into_view(bench, re.compile("^Passes")).activate()
    program.wait_for("Pass 4 at P800", "label")
    program.click(bring_into_view(bench, "Accept this zone as it is…"))
    program.wait_for("Accept “Lower bass” as it is?")
    accept = program.wait_for("Accept", "push button")
    assert not accept.has("sensitive"), "accepted without a reason"
    program.type("A scratch of the client's own")
    driver.wait_until(lambda: accept.has("sensitive"), "the answer to be allowed")
    accept.click()
    bench.wait_for_zone("Lower bass: .*[Aa]ccepted")
    program.wait_for(re.compile("A scratch of the client's own"))
    program.key("ctrl+z")
    bench.wait_for_zone("Lower bass: Sand again")


def a_click_selects_and_a_drag_draws(bench):
    zone = bench.zone("Upper treble")
    bench.program.click(zone.at(0.3, 0.8))
    bench.wait_until_selected("Upper treble")
    bench.program.key("3")
    bench.program.drag(zone.at(0.2, 0.85), zone.at(0.6, 0.9))
    driver.wait_until(lambda: bench.marks("Scratch.*Upper treble"), "the scratch")


def a_right_click_offers_what_can_be_done(bench):
    bench.program.click(bench.zone("Waist bass").at(0.2, 0.6), button=3)
    bench.program.wait_for("Accept as it is…")
    bench.program.key("Escape")
    bench.program.wait_until_gone("Accept as it is…")
    bench.wait_until_selected("Waist bass")


def the_wheel_comes_nearer(bench):
    before = bench.zone("Waist bass").box
    bench.program.scroll(bench.zone("Waist bass").at(0.5, 0.5), -3)
    driver.wait_until(lambda: bench.zone("Waist bass").box[2] > 1.5 * before[2], "a larger zone")
    bench.program.key("0")
    driver.wait_until(lambda: bench.zone("Waist bass").box == before, "the whole face")


def closing_leaves_one_file(bench):
    bench.select("Lower bass")
    bench.program.key("Return")
    bench.wait_for_zone("Lower bass: Look again")
    bench.program.key("ctrl+q")
    assert bench.program.wait_end() == 0
    assert os.listdir(bench.folder) == [os.path.basename(bench.path)], os.listdir(bench.folder)


# --- fingers ----------------------------------------------------------------------------------

def a_tap_selects(bench):
    touch().tap(bench.zone("Upper treble").at(0.3, 0.8))
    bench.wait_until_selected("Upper treble")


def a_pinch_comes_nearer_and_marks_nothing(bench):
    before = bench.zone("Waist bass").box
    n_marks = len(bench.map.find_all(role="list item"))
    bench.program.key("1")                              # a brush in hand
    touch().pinch(bench.zone("Waist bass").at(0.5, 0.5), 60, 180)
    driver.wait_until(lambda: bench.zone("Waist bass").box[2] > 1.5 * before[2], "a larger zone")
    time.sleep(0.3)
    assert bench.wait_for_zone("Waist bass: Ready")
    assert len(bench.map.find_all(role="list item", shown=False)) >= n_marks
    assert not bench.marks("Low spot.*Waist bass")


def a_finger_paints(bench):
    zone = bench.zone("Waist bass")
    bench.program.key("1")
    touch().drag(zone.at(0.3, 0.6), zone.at(0.6, 0.7))
    driver.wait_until(lambda: bench.marks("Low spot.*Waist bass"), "the patch")


def a_finger_held_offers_what_can_be_done(bench):
    bench.program.key("1")
    touch().hold(bench.zone("Waist bass").at(0.2, 0.6))
    bench.program.wait_for("Accept as it is…")
    bench.program.key("Escape")
    assert not bench.marks("Low spot.*Waist bass")
    assert bench.wait_for_zone("Waist bass: Ready")     # the tap that it was not marks nothing


BY_HAND = [a_zone_is_accepted_from_the_side_panel,
           the_whole_cycle_without_a_mouse, a_mark_is_drawn_by_keys,
           another_pass_on_a_ready_zone_is_asked_about, the_zone_taken_up_next_is_a_key_away,
           a_zone_is_worked_through_its_actions, a_click_selects_and_a_drag_draws,
           a_right_click_offers_what_can_be_done, the_wheel_comes_nearer, closing_leaves_one_file]
BY_FINGERS = [a_tap_selects, a_pinch_comes_nearer_and_marks_nothing, a_finger_paints,
              a_finger_held_offers_what_can_be_done]


def run(test):
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile() as log:
        path = subprocess.run([MAKE_DEMO, folder], check=True, capture_output=True,
                              text=True).stdout.strip()
        with driver.start(RAKELIGHT, path, log=log.name) as program:
            test(Bench(program, folder, path))
        said = open(log.name).read()
        assert not re.search("WARNING|CRITICAL", said), said


def main():
    by_fingers = bool(os.environ.get("ON_DISPLAY_FINGERS"))
    return driver.run_each(BY_FINGERS if by_fingers else BY_HAND, run, sys.argv[3:], apart=not by_fingers)


if __name__ == "__main__":
    sys.exit(main())
