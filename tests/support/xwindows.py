"""A program's windows as X knows them, asked over one connection: a program started for each question would
take longer than what is tested."""
import ctypes
import dataclasses

ANY_TYPE = 0
IS_VIEWABLE = 2


class _Attributes(ctypes.Structure):
    """XWindowAttributes of Xlib.h."""
    _fields_ = [(name, ctypes.c_int) for name in ("x", "y", "width", "height", "border", "depth")] + [
        ("visual", ctypes.c_void_p), ("root", ctypes.c_ulong),
        ("kind", ctypes.c_int), ("bit_gravity", ctypes.c_int), ("win_gravity", ctypes.c_int),
        ("backing_store", ctypes.c_int), ("backing_planes", ctypes.c_ulong),
        ("backing_pixel", ctypes.c_ulong), ("save_under", ctypes.c_int), ("colormap", ctypes.c_ulong),
        ("map_installed", ctypes.c_int), ("map_state", ctypes.c_int), ("all_masks", ctypes.c_long),
        ("your_mask", ctypes.c_long), ("kept_mask", ctypes.c_long), ("override_redirect", ctypes.c_int),
        ("screen", ctypes.c_void_p)]


@dataclasses.dataclass
class XWindow:
    """A visible window: one proper, or a popup over one."""
    title: str
    is_popup: bool
    x: int
    y: int
    width: int
    height: int


def _load():
    x = ctypes.CDLL("libX11.so.6")
    display, window = ctypes.c_void_p, ctypes.c_ulong
    x.XOpenDisplay.restype = display
    x.XOpenDisplay.argtypes = [ctypes.c_char_p]
    x.XDefaultRootWindow.restype = window
    x.XDefaultRootWindow.argtypes = [display]
    x.XInternAtom.restype = ctypes.c_ulong
    x.XInternAtom.argtypes = [display, ctypes.c_char_p, ctypes.c_int]
    x.XGetInputFocus.argtypes = [display, ctypes.POINTER(window), ctypes.POINTER(ctypes.c_int)]
    x.XQueryTree.argtypes = [display, window, ctypes.POINTER(window), ctypes.POINTER(window),
                             ctypes.POINTER(ctypes.POINTER(window)), ctypes.POINTER(ctypes.c_uint)]
    x.XGetWindowAttributes.argtypes = [display, window, ctypes.POINTER(_Attributes)]
    x.XTranslateCoordinates.argtypes = [display, window, window, ctypes.c_int, ctypes.c_int,
                                        ctypes.POINTER(ctypes.c_int), ctypes.POINTER(ctypes.c_int),
                                        ctypes.POINTER(window)]
    x.XGetWindowProperty.argtypes = [
        display, window, ctypes.c_ulong, ctypes.c_long, ctypes.c_long, ctypes.c_int, ctypes.c_ulong,
        ctypes.POINTER(ctypes.c_ulong), ctypes.POINTER(ctypes.c_int), ctypes.POINTER(ctypes.c_ulong),
        ctypes.POINTER(ctypes.c_ulong), ctypes.POINTER(ctypes.c_void_p)]
    x.XFree.argtypes = [ctypes.c_void_p]
    return x


# Windows go while they are asked about; Xlib would end the program over that.
_on_error = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p)(lambda *what: 0)


class XWindows:
    def __init__(self):
        self._x = _load()
        self._display = self._x.XOpenDisplay(None)
        if not self._display:
            raise OSError("no screen: run under on-display")
        self._x.XSetErrorHandler(_on_error)
        self._root = self._x.XDefaultRootWindow(self._display)
        self._name, self._pid = (self._x.XInternAtom(self._display, name, 0)
                                 for name in (b"_NET_WM_NAME", b"_NET_WM_PID"))

    def _property(self, window, atom):
        """Its bytes (a number comes as a C long), None where the window has none."""
        kind, count, left = ctypes.c_ulong(), ctypes.c_ulong(), ctypes.c_ulong()
        width, data = ctypes.c_int(), ctypes.c_void_p()
        if self._x.XGetWindowProperty(self._display, window, atom, 0, 1024, 0, ANY_TYPE, kind, width, count,
                                      left, data) or not data:
            return None
        size = {8: 1, 16: 2, 32: ctypes.sizeof(ctypes.c_long)}.get(width.value, 0)
        told = ctypes.string_at(data, count.value * size)
        self._x.XFree(data)
        return told if width.value else None

    def _family(self, window):
        """Its parent and its children."""
        root, parent = ctypes.c_ulong(), ctypes.c_ulong()
        below, count = ctypes.POINTER(ctypes.c_ulong)(), ctypes.c_uint()
        if not self._x.XQueryTree(self._display, window, root, parent, below, count):
            return 0, []
        children = below[:count.value] if count.value else []
        if below:
            self._x.XFree(below)
        return parent.value, children

    def focused_title(self):
        """The title of the window that has the keyboard; GTK gives it to a window inside that one."""
        window, revert = ctypes.c_ulong(), ctypes.c_int()
        self._x.XGetInputFocus(self._display, window, revert)
        number = window.value
        while number > 1:  # 0 is none, 1 the one under the pointer
            title = self._property(number, self._name)
            if title is not None:
                return title.decode("utf-8", "replace")
            number = self._family(number)[0]
        return None

    def of_process(self, pid):
        found, stack = [], [self._root]
        while stack:
            number = stack.pop()
            told = self._property(number, self._pid)
            if told is not None and int.from_bytes(told[:4], "little") == pid:
                found += self._read(number)
                continue
            stack += self._family(number)[1]
        return found

    def _read(self, number):
        told = _Attributes()
        x, y, child = ctypes.c_int(), ctypes.c_int(), ctypes.c_ulong()
        if (not self._x.XGetWindowAttributes(self._display, number, told) or
                told.map_state != IS_VIEWABLE or
                not self._x.XTranslateCoordinates(self._display, number, self._root, 0, 0, x, y, child)):
            return []
        title = self._property(number, self._name) or b""
        return [XWindow(title.decode("utf-8", "replace"), bool(told.override_redirect), x.value, y.value,
                        told.width, told.height)]
