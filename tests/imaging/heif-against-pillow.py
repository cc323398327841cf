#!/usr/bin/python3
"""HEIC pictures made by libheif's encoder, and what our decoder's caller makes of them and of their wrecks.

heif-against-pillow.py PRINT-PHOTO HELPER

The picture that went in is known to Pillow, which has no HEIC of its own.
"""

import calendar
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time

from PIL import Image, ImageChops, ImageDraw, ImageStat

PROGRAM, HELPER = sys.argv[1:3]
SEED = int(os.environ.get("RAKE_TEST_SEED", "4"))


def check(is_so, what):
    if not is_so:
        sys.exit(f"heif-against-pillow: {what}")


def read(path, copy):
    return subprocess.run([PROGRAM, path, copy], capture_output=True, text=True,
                          env=dict(os.environ, RAKELIGHT_LIBEXECDIR=os.path.dirname(HELPER)))


def make(folder):
    picture = Image.new("RGB", (320, 200), (90, 60, 40))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, 159, 99), fill=(200, 180, 140))
    draw.ellipse((180, 90, 290, 180), fill=(40, 90, 160))
    plain, path = os.path.join(folder, "a.png"), os.path.join(folder, "a.jpg")
    picture.save(plain)
    picture.save(path, quality=95)
    subprocess.run(["exiftool", "-q", "-overwrite_original", "-n", "-Orientation=6",
                    "-DateTimeOriginal=2026:03:02 14:05:09", "-OffsetTimeOriginal=+01:00",
                    "-GPSLatitude=48.5", "-GPSLatitudeRef=N", "-GPSLongitude=9.05",
                    "-GPSLongitudeRef=E", path], check=True)
    heic = os.path.join(folder, "a.heic")
    subprocess.run(["heif-enc", "-q", "80", path, "-o", heic], check=True, capture_output=True)
    return picture, heic


def check_whole(folder, picture, heic):
    copy = os.path.join(folder, "copy")
    done = read(heic, copy)
    check(done.returncode == 0, done.stderr)
    said = json.loads(done.stdout)
    check((said["width"], said["height"], said["turn"]) == (*picture.size, 1), said)
    wanted = calendar.timegm(time.strptime("2026:03:02 14:05:09", "%Y:%m:%d %H:%M:%S")) * 1000
    check(said["has_time"] == 1 and said["local_ms"] == wanted, said)
    check(said["has_offset"] == 1 and said["offset_minutes"] == 60, said)
    check(said["has_location"] == 1, said)
    with Image.open(copy) as other:
        check(other.format == "JPEG" and other.size == picture.size and not other.getexif(), "copy")
        off = max(ImageStat.Stat(ImageChops.difference(picture, other.convert("RGB"))).mean)
    check(off < 4, f"the copy is off by {off:.1f}")
    with open(copy, "rb") as file:
        check(b"Exif" not in file.read(), "the copy still tells something")
    with Image.open(copy + ".working") as working:
        check(working.size == (60, 38), working.size)
    return off


def patch(data, at, new):
    return data[:at] + new + data[at + len(new):]


def wrecks(data):
    rng = random.Random(SEED)
    for share in (0.1, 0.3, 0.6, 0.9, 0.99):
        yield "cut short", data[:int(len(data) * share)]
    size = data.index(b"ispe") + 8  # after the name and the version: width and height
    for side in (b"\0\0\0\0", b"\0\0\x9c\x40", b"\x7f\xff\xff\xff", b"\xff\xff\xff\xff"):
        yield "a size that lies", patch(data, size, side)
        yield "a size that lies", patch(data, size, side + side)
    for _ in range(12):
        wreck = bytearray(data)
        for _ in range(rng.randrange(1, 30)):
            wreck[rng.randrange(24, len(wreck))] = rng.randrange(256)
        yield "bytes changed", bytes(wreck)
    for box in (b"iloc", b"iprp", b"hvcC", b"meta", b"pitm", b"mdat"):
        at = data.index(box) - 4
        yield "a box without end", patch(data, at, b"\xff\xff\xff\xff")
        yield "a box without name", patch(data, at + 4, b"oops")
    yield "a head alone", data[:24]
    yield "a head before noise", data[:24] + rng.randbytes(5000)


def check_wrecks(folder, heic):
    path, copy = os.path.join(folder, "wreck.heic"), os.path.join(folder, "wreck-copy")
    with open(heic, "rb") as file:
        data = file.read()
    refused = 0
    found = list(wrecks(data))
    for what, wreck in found:
        with open(path, "wb") as file:
            file.write(wreck)
        done = read(path, copy)
        check(done.returncode in (0, 1), f"{what}: {done.returncode} {done.stderr}")
        if done.returncode == 1:
            refused += 1
            check("wreck.heic" in done.stderr and "HEIC" in done.stderr, f"{what}: {done.stderr}")
        check(not (done.returncode == 0 and what in ("cut short", "a head alone")), what)
    check(refused >= len(found) // 3, f"only {refused} of {len(found)} refused")
    return refused, len(found)


def check_limits(heic):
    """What the program may open once it reads: nothing but what it was given."""
    with open(heic, "rb") as file:
        held = subprocess.Popen([HELPER], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        try:
            limits = ""
            for _ in range(100):
                with open(f"/proc/{held.pid}/limits", encoding="ascii") as said:
                    limits = {line[:26].strip(): line[26:].split()[0] for line in said}
                if limits.get("Max cpu time") == "20":
                    break
                time.sleep(0.05)
            check(limits["Max open files"] == "0" and limits["Max file size"] == "0"
                  and limits["Max core file size"] == "0" and limits["Max cpu time"] == "20", limits)
        finally:
            out, _ = held.communicate(file.read())
    check(len(out) > 320 * 200 * 3, "no rows")


def main():
    for needed in ("heif-enc", "exiftool"):
        if shutil.which(needed) is None:
            print(f"skipped: {needed} is not installed (tests/support/install test)")
            sys.exit(77)
    with tempfile.TemporaryDirectory() as folder:
        picture, heic = make(folder)
        off = check_whole(folder, picture, heic)
        refused, n = check_wrecks(folder, heic)
        check_limits(heic)
    print(f"off by {off:.1f} of 255 in the mean; of {n} wrecks {refused} refused, none harmful")


main()
