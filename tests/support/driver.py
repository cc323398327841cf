"""Sees a GTK 4 program as a screen reader does, and handles it as a hand does.

    import driver

    with driver.start("build/src/window/rakelight", "front.rakejob") as program:
        program.wait_for("Pass done", "push button").click()
        program.key("ctrl+z")
        program.drag(face.at(0.2, 0.5), face.at(0.8, 0.5))
        assert program.wait_for("Note", "text").text == "run at the edge"

Runs under on-display, with the system's python3 (gi and the Atspi typelib are Debian packages).
What is looked at comes through AT-SPI, what is done goes through XTest (hand.py) or, for fingers,
through the touch screen of `on-display --touch`.

Where something is looked for, the whole tree is asked for in one call, as GTK keeps it for screen readers
(org.a11y.atspi.Cache): asking each of some hundreds of widgets for its name takes a hundred times the
processor. What is found is then asked afresh.

Five things about GTK 4.8 and X are dealt with here so that no test needs to know them:
  - Places are told in the window only, in logical pixels from inside its border. Where the window
    stands is asked of X, and a popover is an X window of its own.
  - The state "showing" is kept for windows only. Here something is shown when it and all above it
    are visible and it has a size.
  - A new window has the keyboard only some time after it is told of.
  - The library's cache follows the program only while a main loop runs, so it is turned off.
  - Asking for the text up to -1 gives nothing: the length is asked for first.
"""
import collections
import contextlib
import faulthandler
import os
import re
import signal
import socket
import struct
import subprocess
import sys
import time
import traceback

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, Gio, GLib  # noqa: E402

from hand import BEAT, Hand  # noqa: E402
from xwindows import XWindows  # noqa: E402

faulthandler.enable()  # where this program was when a library killed it

GLANCE = 0.03  # seconds between two looks at the program, at first; they grow rarer
RAREST = 0.25
PATIENCE = 40  # seconds after which something is taken not to come; how quick it is, benchmarks tell

STATES = {int(getattr(Atspi.StateType, name)): name.lower().replace("_", " ")
          for name in dir(Atspi.StateType) if name.isupper() and name != "LAST_DEFINED"}


class Missing(AssertionError):
    """What was waited for did not come in time."""


class Gone(Exception):
    """The thing is no longer in the program."""


@contextlib.contextmanager
def may_be_gone():
    try:
        yield
    except GLib.Error as error:
        raise Gone(error.message) from None


def wait_until(question, what, seconds=PATIENCE):
    """The first answer of question() that is true; Missing, naming what, when none comes."""
    end, pause = time.monotonic() + seconds, GLANCE
    while True:
        try:
            answer = question()
        except Gone:
            answer = None
        if answer:
            return answer
        if time.monotonic() >= end:
            raise Missing(f"{what}: not within {seconds} s")
        time.sleep(pause)
        pause = min(1.5 * pause, RAREST)


def _scale():
    return int(os.environ.get("GDK_SCALE") or 1)


class Node:
    """One thing in the program: a widget as its accessible tells of it. Every read is fresh."""

    def __init__(self, program, accessible):
        self.program, self._accessible = program, accessible

    def __repr__(self):
        try:
            return f"<{self.role} {self.name!r}>"
        except Gone:
            return "<gone>"

    def __eq__(self, other):
        return isinstance(other, Node) and self._accessible == other._accessible

    __hash__ = None

    # What it is.

    @property
    def name(self):
        with may_be_gone():
            return self._accessible.get_name() or ""

    @property
    def description(self):
        with may_be_gone():
            return self._accessible.get_description() or ""

    @property
    def role(self):
        with may_be_gone():
            return self._accessible.get_role_name()

    @property
    def states(self):
        """The names of its states: "focused", "checked", "selected", "sensitive" …"""
        with may_be_gone():
            return {STATES[int(state)] for state in self._accessible.get_state_set().get_states()}

    def has(self, state):
        return state in self.states

    @property
    def text(self):
        """What an entry or a label holds; the name of anything else."""
        with may_be_gone():
            if "Text" not in self._accessible.get_interfaces():
                return self._accessible.get_name() or ""
            count = Atspi.Text.get_character_count(self._accessible)
            return Atspi.Text.get_text(self._accessible, 0, count) if count else ""

    @property
    def value(self):
        """The number of a spin button, a scale, a progress bar."""
        with may_be_gone():
            return Atspi.Value.get_current_value(self._accessible)

    @value.setter
    def value(self, number):
        with may_be_gone():
            Atspi.Value.set_current_value(self._accessible, number)

    @property
    def actions(self):
        with may_be_gone():
            if "Action" not in self._accessible.get_interfaces():
                return []
            return [Atspi.Action.get_action_name(self._accessible, index)
                    for index in range(Atspi.Action.get_n_actions(self._accessible))]

    # Where it is.

    @property
    def parent(self):
        with may_be_gone():
            above = self._accessible.get_parent()
            return Node(self.program, above) if above is not None else None

    @property
    def children(self):
        with may_be_gone():
            below = [self._accessible.get_child_at_index(index)
                     for index in range(self._accessible.get_child_count())]
        return [Node(self.program, child) for child in below if child is not None]

    @property
    def box(self):
        """x, y, width, height in its window, logical pixels."""
        with may_be_gone():
            if "Component" not in self._accessible.get_interfaces():
                return 0, 0, 0, 0
            rect = Atspi.Component.get_extents(self._accessible, Atspi.CoordType.WINDOW)
            return rect.x, rect.y, rect.width, rect.height

    def at(self, across=0.5, down=0.5):
        """The place on the screen that lies so far across and down the node, once it stands still."""
        def where():
            return self.box, self.program.origin_of(self)

        def still():
            before = where()
            time.sleep(GLANCE)
            return before if where() == before else None

        (x, y, width, height), (left, top) = wait_until(still, f"{self} to stand still")
        if width <= 0 or height <= 0:
            raise Missing(f"{self} has no size: it is not shown")
        return (left + round((x + width * across) * _scale()),
                top + round((y + height * down) * _scale()))

    # What can be done with it.

    def click(self, **how):
        self.program.click(self.at(), **how)

    def activate(self, name=None):
        """Does the action of that name (the first one without a name), as a switch user would."""
        names = self.actions
        if not names or (name is not None and name not in names):
            raise Missing(f"{self} has no action {name or ''}, only {names}")
        with may_be_gone():
            Atspi.Action.do_action(self._accessible, names.index(name) if name else 0)

    def write(self, text):
        """Puts text in place of what an entry holds, by keyboard."""
        self.click()
        wait_until(lambda: any(node.has("focused") for node in self.walk()), f"{self} to have the focus")
        self.program.key("ctrl+a", "BackSpace")
        self.program.type(text)

    @property
    def path(self):
        """What the program calls it on the bus."""
        with may_be_gone():
            return self._accessible.path

    # Looking under it.

    def walk(self, shown_only=False):
        """The node and all under it, parents first; what goes away meanwhile is passed over."""
        stack = [self]
        while stack:
            node = stack.pop()
            try:
                if shown_only and node is not self and not node.has("visible"):
                    continue
                below = node.children
            except Gone:
                continue
            yield node
            stack.extend(reversed(below))

    def find_all(self, name=None, role=None, states=(), shown=True):
        """All under it (itself included) with that name (text or compiled pattern), role, states."""
        return list(self._find_each(name, role, states, shown))

    def _find_each(self, name, role, states, shown):
        wanted = {states} if isinstance(states, str) else set(states)
        for path, way, one in self._see(shown):
            if ((role is not None and one.role != role) or not _fits(name, one.name) or
                    not wanted <= one.states):
                continue
            with contextlib.suppress(Gone):
                node = self._follow(way)
                if node is not None and node.path == path and not (shown and 0 in node.box[2:]):
                    yield node

    def _see(self, shown):
        """What is under it (itself included): path, way there and item, parents first.

        GTK keeps what it was asked for once: children that it does not have yet are asked for."""
        known_less = set()
        while True:
            seen = list(self.program.see().walk(self.path, shown))
            lacking = {path: way for path, way, one in seen if one.n_children > one.n_known}
            if not lacking.keys() - known_less:
                return seen
            known_less.update(lacking)
            for path, way in lacking.items():
                with contextlib.suppress(Gone):
                    node = None if lacking.keys() & {self.path, *way[:-1]} - {path} else self._follow(way)
                    for _ in node.walk(shown) if node is not None else ():
                        pass

    def _follow(self, way):
        """The node to which these paths lead, each that of a child; None where one is gone."""
        node = self
        for path in way:
            node = next((child for child in node.children if child.path == path), None)
            if node is None:
                return None
        return node

    def find(self, *what, **how):
        return self._find(*what, **how)

    def _find(self, name=None, role=None, states=(), shown=True):
        return next(self._find_each(name, role, states, shown), None)

    def wait_for(self, name=None, role=None, states=(), shown=True, seconds=PATIENCE):
        what = f"{role or 'node'} {getattr(name, 'pattern', name)!r} {states or ''}".rstrip()
        try:
            return wait_until(lambda: self.find(name, role, states, shown), what, seconds)
        except Missing as missing:
            raise Missing(f"{missing}\n{self.tree()}") from None

    def wait_until_gone(self, name=None, role=None, states=(), seconds=PATIENCE):
        wait_until(lambda: not self.find(name, role, states), f"{role or 'node'} {name!r} to go",
                   seconds)

    def tree(self, boxes=False, depth=0):
        """The node and all under it as lines of text, for a failed test to show."""
        try:
            line = "  " * depth + _told(self, boxes)
            below = self.children
        except Gone:
            return "  " * depth + "(gone)"
        return "\n".join([line] + [child.tree(boxes, depth + 1) for child in below])


def _fits(name, told):
    if name is None:
        return True
    return bool(name.search(told)) if isinstance(name, re.Pattern) else told == name


def _told(node, boxes):
    told = f"{node.role} {node.name!r}"
    if node.description:
        told += f" ({node.description})"
    states = node.states
    notable = sorted(states & {"focused", "checked", "pressed", "selected", "expanded"})
    if "sensitive" not in states:
        notable.append("insensitive")
    if "visible" not in states:
        notable.append("hidden")
    told += "".join(f" +{state}" for state in notable)
    actions = node.actions
    # Every label offers the same eight: they say nothing.
    if actions and node.role != "label":
        told += " {" + ", ".join(actions) + "}"
    return told + (f" {node.box}" if boxes else "")


class _Seen:
    """The program's tree at one moment."""

    Item = collections.namedtuple("Item", "name role states n_children n_known")

    def __init__(self, told):
        self.items, below = {}, {}
        states_of = {path: self._read_states(*bits) for (_, path), *_, bits in told}
        for (_, path), _, (_, above), index, *_ in told:
            below.setdefault(above, []).append((index, path))
        for (_, path), _, _, _, n_children, _, name, role, *_ in told:
            # GTK counts no hidden children, but goes on telling of those that it was asked for.
            n_known = sum("visible" in states_of[child] for _, child in below.get(path, ()))
            self.items[path] = self.Item(name, Atspi.role_get_name(role), states_of[path], n_children,
                                         n_known)
        self.below = {above: [path for _, path in sorted(ones)] for above, ones in below.items()}

    @staticmethod
    def _read_states(low, high):
        bits = low | high << 32
        return {word for number, word in STATES.items() if bits >> number & 1}

    def walk(self, top, shown_only):
        """Path, way (paths from the top) and item of the top and all under it, parents first."""
        stack = [(top, ())]
        while stack:
            path, way = stack.pop()
            one = self.items.get(path)
            if one is None or (shown_only and way and "visible" not in one.states):
                continue
            yield path, way, one
            stack.extend((child, (*way, child)) for child in reversed(self.below.get(path, ())))


class Program(Node):
    """A running program; as a node, the root of its tree."""

    def __init__(self, process, hand):
        super().__init__(self, None)
        self.process, self._hand, self._bus = process, hand, None
        self._screen = XWindows()

    def __enter__(self):
        return self

    def __exit__(self, *error):
        self.stop()

    def _meet(self, seconds):
        def find_it():
            if self.process.poll() is not None:
                raise Missing(f"the program ended with status {self.process.returncode}, no window came")
            with may_be_gone():
                desktop = Atspi.get_desktop(0)
                desktop.clear_cache()
                for index in range(desktop.get_child_count()):
                    root = desktop.get_child_at_index(index)
                    if root is not None and root.get_process_id() == self.process.pid:
                        root.set_cache_mask(Atspi.Cache.NONE)
                        self._accessible = root
                        return any("showing" in window.states for window in self.children)
            return False

        wait_until(find_it, f"a window of {self.process.args[4]}", seconds)
        wait_until(self._windows, "its X window", seconds)

    def see(self):
        """The whole tree as it is now."""
        with may_be_gone():
            if self._bus is None:
                session = Gio.bus_get_sync(Gio.BusType.SESSION)
                address, = session.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress",
                                             None, None, 0, -1, None).unpack()
                self._bus = Gio.DBusConnection.new_for_address_sync(
                    address, Gio.DBusConnectionFlags.AUTHENTICATION_CLIENT |
                    Gio.DBusConnectionFlags.MESSAGE_BUS_CONNECTION, None, None)
            told, = self._bus.call_sync(self._accessible.app.bus_name, "/org/a11y/atspi/cache",
                                        "org.a11y.atspi.Cache", "GetItems", None, None, 0, -1,
                                        None).unpack()
        return _Seen(told)

    def stop(self, seconds=5):
        """Ends the program if it still runs; gives its exit status."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            try:
                self.process.wait(seconds)
            except subprocess.TimeoutExpired:
                self.process.kill()
        return self.process.wait()

    def wait_end(self, seconds=30):
        """The exit status of a program that ends by itself."""
        try:
            return self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            raise Missing(f"the program did not end within {seconds} s") from None

    def _windows(self):
        return self._screen.of_process(self.process.pid)

    def origin_of(self, node):
        """The place on the screen from which a node's box is counted."""
        above = [node]
        while above[-1].parent is not None and above[-1].parent.role != "application":
            above.append(above[-1].parent)
        windows, scale = self._windows(), _scale()
        # A popover's own node is as large as its X window, and counts from that window's corner.
        for popover in reversed(above[:-1]):
            x, y, width, height = popover.box
            for window in windows:
                if window.is_popup and (window.width, window.height) == (width * scale, height * scale):
                    return window.x - x * scale, window.y - y * scale
        # A window's node leaves out its border, which is as wide on each side.
        _, _, width, height = above[-1].box
        fitting = []
        for window in windows:
            border = window.width - width * scale
            if not window.is_popup and border >= 0 and border == window.height - height * scale:
                fitting.append((window.title == above[-1].name, window.x + border // 2,
                                window.y + border // 2))
        if not fitting:
            raise Gone(f"no X window is as large as {above[-1]}")
        return max(fitting, key=lambda one: one[0])[1:]

    # The hand. A place is a node or (x, y) on the screen.

    @staticmethod
    def _place(place):
        return place.at() if isinstance(place, Node) else place

    def move(self, place):
        self._hand.move(*self._place(place))

    def click(self, place, button=1, times=1, hold=0):
        x, y = self._place(place)
        # Come from a pixel beside it: a pointer that does not move is not seen to arrive.
        self._hand.move(x - 1, y)
        self._hand.move(x, y)
        for _ in range(times):
            with self._hand.pressing(button):
                time.sleep(hold)

    def drag(self, *places, button=1, steps=10):
        """Presses at the first place, goes through the others in that many steps each, lets go."""
        path = [self._place(place) for place in places]
        self._hand.move(*path[0])
        with self._hand.pressing(button):
            for x, y in _between(path, steps):
                self._hand.move(x, y)

    def scroll(self, place, notches):
        """Turns the wheel: down for more than 0, up for less."""
        self.move(place)
        for _ in range(abs(notches)):
            with self._hand.pressing(5 if notches > 0 else 4):
                pass

    def _wait_for_the_keyboard(self):
        """A window told of is not yet one that X sends keys to: what is typed before goes to the window
        below, where a modal one swallows it."""
        def has_it():
            shown = [(window.name, window.states) for window in self.children]
            modal = [(name, states) for name, states in shown if {"visible", "modal"} <= states]
            # Not asked of GTK, which calls no dialog active.
            return self._screen.focused_title() in [name for name, _ in modal[-1:] or shown]

        wait_until(has_it, "the window on top to have the keyboard")

    def key(self, *combinations):
        """Strokes keys one after the other: "ctrl+z", "Tab", "Return" (their X names)."""
        for combination in combinations:
            self._wait_for_the_keyboard()
            self._hand.key(combination)

    def stroke(self, *combinations):
        """The same, of keys that open no window: a quick hand."""
        self._wait_for_the_keyboard()
        for combination in combinations:
            self._hand.key(combination)

    def type(self, text):
        """Writes text where the focus is, whatever its letters."""
        self._wait_for_the_keyboard()
        self._hand.type(text)

    def picture(self, path):
        """Writes the whole screen as PNG, once it stands still."""
        subprocess.run([os.path.join(os.path.dirname(os.path.abspath(__file__)), "snap"), path], check=True)


def _between(path, steps):
    """The points of a path after its first, with steps of them for each straight part."""
    for (x0, y0), (x1, y1) in zip(path, path[1:]):
        for step in range(1, steps + 1):
            yield x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps


def run_each(tests, run, wanted=(), apart=True):
    """Runs each test, or those of the wanted names; goes on after one that fails, for the next may still
    tell more. Gives the exit status.

    Each in a process of its own, which ends with all that libatspi keeps of a program that has ended: it
    died of that once (of a SIGSEGV, between two tests). Where it does, the test is run once more, and said."""
    failed = 0
    for test in [test for test in tests if not wanted or test.__name__ in wanted]:
        status = _run_apart(test, run) if apart else _run_here(test, run)
        if status < 0:
            print(f"{test.__name__}: what drives the program died of signal {-status}; once more", flush=True)
            status = _run_apart(test, run)
            if status < 0:
                print(f"not ok {test.__name__}: died of signal {-status} again", flush=True)
        failed += status != 0
    print(f"{failed} failed", flush=True)
    return 1 if failed else 0


def _run_here(test, run):
    try:
        run(test)
        print(f"ok {test.__name__}", flush=True)
        return 0
    except Exception as error:
        print(f"not ok {test.__name__}: {error}", flush=True)
        traceback.print_exc(limit=-4)
        return 1


def _run_apart(test, run):
    """The exit status, or the signal below 0."""
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            status = _run_here(test, run)
            sys.stdout.flush()
            sys.stderr.flush()
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def start(*command, env=None, log=None, seconds=PATIENCE):
    """Starts a program and waits for its first window. A critical warning ends the program, unless
    G_DEBUG says otherwise; its words go to the file log, or to where this program's go.

    Leaks are not looked for: GTK 4.8 itself loses the list of a widget's actions each time it is
    asked for it through AT-SPI. That is left to the tests in C."""
    surroundings = {"G_DEBUG": "fatal-criticals", **os.environ, **(env or {})}
    if "ASAN_OPTIONS" in surroundings:
        surroundings["ASAN_OPTIONS"] += ":detect_leaks=0:fast_unwind_on_malloc=1"
    hand = Hand()
    with open(log, "wb") if log else contextlib.nullcontext() as out:
        # It goes with this program, however that ends: what is tried next has the screen to itself.
        process = subprocess.Popen(["setpriv", "--pdeathsig", "KILL", "--", *map(str, command)],
                                   env=surroundings, stdin=subprocess.DEVNULL, stdout=out, stderr=out)
    program = Program(process, hand)
    try:
        program._meet(seconds)
    except BaseException:
        program.stop()
        raise
    return program


class Touch:
    """Fingers, on the screen of `on-display --touch`.

    They go through the socket of Xorg's inputtest driver. A message is its length, its kind and a
    body; a touch's body is the finger's number, what it does, and two sets of 64 axes of which the
    first counts, with a mask of those that are given (from memory of the driver's protocol 1.1;
    the self-test shows whether it still holds).
    """

    VERSION, SYNC, TOUCH = 0, 1, 6         # kinds of message
    BEGIN, UPDATE, END = 18, 19, 20        # XI_TouchBegin and so on, of XI2.h
    X, Y, PRESSURE = 0, 1, 4               # axes
    FULL = 65535                           # what an axis counts to

    def __init__(self):
        path = os.environ.get("ON_DISPLAY_FINGERS")
        if not path:
            raise Missing("no touch screen: run under on-display --touch")
        size = subprocess.run(["xdotool", "getdisplaygeometry"], capture_output=True, text=True,
                              check=True).stdout.split()
        self._width, self._height = map(int, size)
        self._finger = 0
        self._socket = socket.socket(socket.AF_UNIX)
        self._socket.settimeout(PATIENCE)
        self._socket.connect(path)
        self._tell(self.VERSION, struct.pack("=HH", 1, 1))
        self._hear(12)

    def _tell(self, kind, body=b""):
        self._socket.sendall(struct.pack("=II", 8 + len(body), kind) + body)

    def _hear(self, count):
        while count:
            heard = self._socket.recv(count)
            if not heard:
                raise Missing("the touch screen hung up")
            count -= len(heard)

    def _send(self, finger, what, place):
        axes = [0.0] * 128
        axes[self.X] = (place[0] + 0.5) / self._width * self.FULL
        axes[self.Y] = (place[1] + 0.5) / self._height * self.FULL
        axes[self.PRESSURE] = 500.0
        mask = 1 << self.X | 1 << self.Y | 1 << self.PRESSURE
        self._tell(self.TOUCH, struct.pack("=IIIQ4x128d", finger, what, 0, mask, *axes))
        self._tell(self.SYNC)
        self._hear(8)

    def fingers(self, *paths, hold=BEAT, steps=12):
        """Lays down a finger for each path, leaves them hold seconds, moves all together, lifts."""
        numbers = range(self._finger + 1, self._finger + 1 + len(paths))
        self._finger = numbers[-1]
        for number, path in zip(numbers, paths):
            self._send(number, self.BEGIN, path[0])
        time.sleep(hold)
        for places in zip(*(_between(path, steps) for path in paths)):
            for number, place in zip(numbers, places):
                self._send(number, self.UPDATE, place)
            time.sleep(BEAT)
        for number, path in zip(numbers, paths):
            self._send(number, self.END, path[-1])

    def tap(self, place):
        self.fingers([Program._place(place)])

    def hold(self, place, seconds=0.9):
        self.fingers([Program._place(place)], hold=seconds)

    def drag(self, *places, steps=12):
        self.fingers([Program._place(place) for place in places], steps=steps)

    def pinch(self, middle, before, after, steps=12):
        """Two fingers side by side about a place, first so many pixels apart, then so many."""
        x, y = Program._place(middle)
        self.fingers([(x - before / 2, y), (x - after / 2, y)],
                     [(x + before / 2, y), (x + after / 2, y)], steps=steps)
