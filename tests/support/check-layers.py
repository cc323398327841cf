#!/usr/bin/python3
"""check-layers.py LIBRARY...: no layer knows of one to its right.

Read twice, in the #include lines and in the symbols of the static libraries (src/LAYER/librake-*.a),
because a declaration can be written down by hand. Each layer has its own libraries, too: only the
store knows SQLite, only the window knows GTK.
"""
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]

# What a layer may stand on, besides itself.
BELOW = {
    "core": set(),
    "store": {"core"},
    "imaging": {"core"},
    "draw": {"core"},
    "report": {"core", "store", "imaging", "draw"},
    "cli": {"core", "store", "imaging", "draw", "report"},
    "window": {"core", "store", "imaging", "draw", "report", "camera"},
    "camera": set(),  # a module that the window loads; it knows nothing of Rakelight
}

# Libraries that not every layer may know: by the headers they are included through, by the symbols
# they define.
FOREIGN = {
    "SQLite": (r"sqlite3", r"sqlite3_", {"store"}),
    "jansson": (r"jansson", r"json_", {"store", "cli"}),
    "GEOS": (r"geos_c", r"GEOS|initGEOS|finishGEOS", {"core"}),
    "libjpeg and libpng": (r"jpeglib|jerror|png\.h", r"jpeg_|png_", {"imaging"}),
    "GStreamer": (r"gst/", r"gst_", {"camera"}),
    # in a program of its own
    "libheif": (r"(?!)", r"heif_", set()),
    "cairo and Pango": (r"cairo|pango", r"cairo_|pango_", {"draw", "report", "cli", "window"}),
    "GTK": (r"gtk/|gdk/|gsk/|adwaita", r"gtk_|gdk_|gsk_|adw_", {"window"}),
}


def complaints_about_includes(owner_of):
    for layer, below in BELOW.items():
        for path in sorted((ROOT / "src" / layer).glob("*.[ch]")):
            for header in re.findall(r'^\s*#\s*include\s*[<"]([^">]+)', path.read_text("utf-8"), re.M):
                where = f"{path.relative_to(ROOT)} includes {header}"
                is_own = "/" not in header and (path.parent / header).exists()
                owner = layer if is_own else owner_of.get(header, layer)
                if owner != layer and owner not in below:
                    yield f"{where}, which is the {owner}'s"
                for name, (headers, _, layers) in FOREIGN.items():
                    if layer not in layers and re.match(headers, header):
                        yield f"{where}: {layer} is not to know {name}"


def owners_of_headers():
    """Layer by header as it is included: <rakelight/x.h> is the layer's that has x.c or x-….c; what
    lies in a layer's folder is that layer's own, whichever way a file of another gets at it."""
    owners = {}
    for layer in BELOW:
        sources = [path.stem for path in (ROOT / "src" / layer).glob("*.c")]
        for public in (ROOT / "include" / "rakelight").glob("*.h"):
            if any(source == public.stem or source.startswith(public.stem + "-") for source in sources):
                owners.setdefault(f"rakelight/{public.name}", layer)
        for private in (ROOT / "src" / layer).glob("*.h"):
            owners[private.name] = layer
            owners[f"../{layer}/{private.name}"] = layer
            owners[f"{layer}/{private.name}"] = layer
    return owners


def symbols_of(library):
    """The names a library defines for others, and those it takes from others."""
    listed = subprocess.run(["nm", "--extern-only", "--format=posix", str(library)],
                            capture_output=True, text=True, check=True).stdout
    defined, taken = set(), set()
    for line in listed.splitlines():
        words = line.split()
        if len(words) >= 2 and len(words[1]) == 1:
            (taken if words[1] in "Uw" else defined).add(words[0])
    return defined, taken - defined


def complaints_about_symbols(libraries):
    defined, taken = {}, {}
    for library in libraries:
        layer = pathlib.Path(library).resolve().parent.name
        if layer not in BELOW:
            yield f"{library}: there is no layer {layer}; say in {__file__} what it may stand on"
            continue
        more, wants = symbols_of(library)
        defined.setdefault(layer, set()).update(more)
        taken.setdefault(layer, set()).update(wants)
    for layer, wants in taken.items():
        reachable = defined[layer].union(*(defined.get(other, set()) for other in BELOW[layer]))
        for name in sorted(wants):
            others = [other for other in defined if name in defined[other]]
            if others and name not in reachable:
                yield f"{layer} calls {name}, which is in {', '.join(others)}"
            for foreign, (_, symbols, layers) in FOREIGN.items():
                if layer not in layers and re.match(symbols, name):
                    yield f"{layer} calls {name}: it is not to know {foreign}"
    for layer in sorted(set(defined) - {"cli"}):
        for name in sorted(defined[layer]):
            if not re.match(r"_?rake|RAKE_|_?_(asan|ubsan|gcov|odr)", name):
                yield f"{layer} gives everybody {name}, which does not begin with rake_"


def main(libraries):
    folders = {path.name for path in (ROOT / "src").iterdir() if path.is_dir()}
    said = [f"src/{name}: say in {__file__} what this layer may stand on"
            for name in sorted(folders - set(BELOW))]
    said += complaints_about_includes(owners_of_headers())
    said += complaints_about_symbols(libraries)
    print("\n".join(said) if said else f"{len(folders)} layers, {len(libraries)} libraries: no arrow "
          "to the right")
    return 1 if said else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
