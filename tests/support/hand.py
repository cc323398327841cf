"""A hand on mouse and keyboard: XTest over one connection, so that nothing overtakes anything.

Letters that the keyboard lacks are given spare keys, once, before the program starts. (A key lent for
one stroke is read by a busy program only after it is taken back, and a program that reads a changed
keyboard anew may lose a stroke over it.) There are about 25 such keys; LETTERS says who has them."""
import contextlib
import ctypes
import functools
import time

BEAT = 0.02  # seconds between two parts of a gesture
LETTERS = "äöüßéèàç°µ²½±×–„“”…"
MODIFIERS = {"ctrl": "Control_L", "shift": "Shift_L", "alt": "Alt_L", "super": "Super_L"}


@functools.lru_cache(maxsize=None)
def _libraries():
    x, test = ctypes.CDLL("libX11.so.6"), ctypes.CDLL("libXtst.so.6")
    x.XOpenDisplay.restype = ctypes.c_void_p
    x.XOpenDisplay.argtypes = [ctypes.c_char_p]
    x.XSync.argtypes = [ctypes.c_void_p, ctypes.c_int]
    x.XFree.argtypes = [ctypes.c_void_p]
    x.XStringToKeysym.restype = ctypes.c_ulong
    x.XStringToKeysym.argtypes = [ctypes.c_char_p]
    x.XDisplayKeycodes.argtypes = [ctypes.c_void_p, ctypes.POINTER(ctypes.c_int),
                                   ctypes.POINTER(ctypes.c_int)]
    x.XGetKeyboardMapping.restype = ctypes.POINTER(ctypes.c_ulong)
    x.XGetKeyboardMapping.argtypes = [ctypes.c_void_p, ctypes.c_ubyte, ctypes.c_int,
                                      ctypes.POINTER(ctypes.c_int)]
    x.XChangeKeyboardMapping.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int,
                                         ctypes.POINTER(ctypes.c_ulong), ctypes.c_int]
    test.XTestFakeMotionEvent.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int, ctypes.c_int,
                                          ctypes.c_ulong]
    for press in (test.XTestFakeButtonEvent, test.XTestFakeKeyEvent):
        press.argtypes = [ctypes.c_void_p, ctypes.c_uint, ctypes.c_int, ctypes.c_ulong]
    return x, test


def keysym_of(letter):
    """X's number for a letter: its own up to Latin-1, the Unicode range above."""
    if letter == "\n":
        return 0xff0d
    return ord(letter) if ord(letter) < 0x100 else 0x01000000 | ord(letter)


class Hand:
    def __init__(self):
        self._x, self._test = _libraries()
        self._display = self._x.XOpenDisplay(None)
        if not self._display:
            raise OSError("no screen: run under on-display")
        self._read_keyboard()
        self._lend(LETTERS)

    def _read_keyboard(self):
        """Fills in which key, with or without shift, gives which keysym, and which keys give none."""
        first, last, wide = ctypes.c_int(), ctypes.c_int(), ctypes.c_int()
        self._x.XDisplayKeycodes(self._display, first, last)
        count = last.value - first.value + 1
        table = self._x.XGetKeyboardMapping(self._display, first.value, count, wide)
        self._keys, self._spare = {}, []
        for key in range(count):
            columns = table[key * wide.value:(key + 1) * wide.value]
            if not any(columns):
                self._spare.append(first.value + key)
            for level, keysym in enumerate(columns[:2]):
                if keysym:
                    self._keys.setdefault(keysym, (first.value + key, level == 1))
        self._x.XFree(table)

    def _lend(self, letters):
        """Gives spare keys to those of the letters that have none, capitals with shift."""
        for letter in letters:
            if keysym_of(letter) in self._keys:
                continue
            # Both levels are given: of a single letter the server makes a small one and a capital.
            both = [keysym_of(case if len(case) == 1 else letter)
                    for case in (letter.lower(), letter.upper())]
            key = self._spare.pop()
            self._x.XChangeKeyboardMapping(self._display, key, 2, (ctypes.c_ulong * 2)(*both), 1)
            self._keys.update({both[1]: (key, True), both[0]: (key, False)})
        self._x.XSync(self._display, 0)

    def _key_for(self, keysym):
        if keysym not in self._keys:
            raise KeyError(f"no key gives {keysym:#x}; a letter would have to be among LETTERS")
        return self._keys[keysym]

    def _press(self, key, down):
        self._test.XTestFakeKeyEvent(self._display, key, down, 0)
        self._x.XSync(self._display, 0)
        time.sleep(BEAT / 4)

    def _stroke(self, key, held):
        for one in held:
            self._press(one, True)
        self._press(key, True)
        self._press(key, False)
        for one in reversed(held):
            self._press(one, False)

    def _named(self, name):
        number = self._x.XStringToKeysym(name.encode())
        if not number and len(name) == 1:
            number = keysym_of(name)
        if not number:
            raise KeyError(f"there is no key named {name}")
        return self._key_for(number)

    def key(self, combination):
        """A key by its X name, with "ctrl+", "shift+", "alt+", "super+" before it."""
        *held, name = combination.replace("++", "+plus").split("+")
        key, shifted = self._named(name)
        held = [self._named(MODIFIERS[one])[0] for one in held]
        if shifted and "shift" not in combination:
            held.append(self._named("Shift_L")[0])
        self._stroke(key, held)

    def type(self, text):
        shift = self._named("Shift_L")[0]
        for letter in text:
            key, shifted = self._key_for(keysym_of(letter))
            self._stroke(key, [shift] if shifted else [])

    def move(self, x, y):
        self._test.XTestFakeMotionEvent(self._display, -1, round(x), round(y), 0)
        self._x.XSync(self._display, 0)
        time.sleep(BEAT)

    def button(self, number, down):
        self._test.XTestFakeButtonEvent(self._display, number, down, 0)
        self._x.XSync(self._display, 0)
        time.sleep(BEAT)

    @contextlib.contextmanager
    def pressing(self, button):
        """Whatever comes of the gesture, the button does not stay down."""
        self.button(button, True)
        try:
            yield
        finally:
            self.button(button, False)
