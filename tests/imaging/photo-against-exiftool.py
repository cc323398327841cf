#!/usr/bin/python3
"""What we read of a camera's notes, and what we leave out of a copy, held against exiftool and Pillow.

photo-against-exiftool.py PRINT-PHOTO
"""

import calendar
import json
import os
import subprocess
import sys
import tempfile
import time

from PIL import Image, ImageChops, ImageOps, ImageStat

PROGRAM = sys.argv[1]
TURNS = range(1, 9)


def exiftool(*arguments):
    return subprocess.run(["exiftool", "-q", "-n", *arguments], check=True,
                          capture_output=True).stdout


def make(path):
    """Four corners of four colours: every turn of it is another picture."""
    picture = Image.new("RGB", (96, 64))
    for x in range(96):
        for y in range(64):
            picture.putpixel((x, y), (40 + 200 * (x >= 48), 40 + 200 * (y >= 32), x * 2))
    picture.save(path, quality=95)


def read(path, copy):
    done = subprocess.run([PROGRAM, path, copy], check=True, capture_output=True)
    return json.loads(done.stdout)


def check(is_so, what):
    if not is_so:
        sys.exit(f"photo-against-exiftool: {what}")


def tags(path):
    found = json.loads(exiftool("-j", "-G", "-a", "-u", path))[0]
    return {name for name in found
            if name.split(":")[0] not in ("SourceFile", "ExifTool", "File", "Composite", "JFIF", "PNG",
                                          "ICC_Profile")}


def check_turn(folder, ending, turn):
    path = os.path.join(folder, f"t{turn}{ending}")
    copy = os.path.join(folder, f"copy{turn}{ending}")
    make(path)
    exiftool("-overwrite_original", f"-Orientation#={turn}", "-DateTimeOriginal=2026:03:02 14:05:09",
             "-OffsetTimeOriginal=-03:30", "-GPSLatitude=48.5", "-GPSLatitudeRef=N",
             "-GPSLongitude=9.05", "-GPSLongitudeRef=E", "-XMP:Creator=Nobody",
             "-XMP:GPSLatitude=48.5", "-UserComment=private", "-Comment=private too", path)
    if ending == ".jpg":  # as phones add a second picture behind the end
        with open(path, "ab") as file, open(os.path.join(folder, "t1.jpg"), "rb") as other:
            file.write(other.read())
    found = read(path, copy)
    said = json.loads(exiftool("-j", path))[0]
    check(found["turn"] == said["Orientation"] == turn, f"{path}: turn {found}")
    wanted = calendar.timegm(time.strptime(said["DateTimeOriginal"], "%Y:%m:%d %H:%M:%S")) * 1000
    check(found["has_time"] and found["local_ms"] == wanted, f"{path}: time {found}")
    check(found["has_offset"] and found["offset_minutes"] == -210, f"{path}: offset {found}")
    check(found["has_location"] == 1, f"{path}: location {found}")
    left = tags(copy)
    allowed = {"EXIF:Orientation"} if turn != 1 else set()
    check(left <= allowed, f"{copy} still has {sorted(left - allowed)}")
    with open(copy, "rb") as file:
        data = file.read()
    check(b"private" not in data and b"Nobody" not in data and b"GPS" not in data,
          f"{copy} still tells something")
    with Image.open(path) as one, Image.open(copy) as other:
        check(ImageChops.difference(one.convert("RGB"), other.convert("RGB")).getbbox() is None,
              f"{copy} has other pixels")
        upright = ImageOps.exif_transpose(one).convert("RGB")
    if turn != 1:
        check(json.loads(exiftool("-j", copy))[0]["Orientation"] == turn, f"{copy} lost its turn")
    with Image.open(copy + ".working") as working:
        small = upright.resize(working.size, Image.BOX)
        off = max(ImageStat.Stat(ImageChops.difference(small, working.convert("RGB"))).mean)
        check(max(working.size) == 60 and off < 4, f"{copy}.working: {working.size}, off by {off:.1f}")


def main():
    with tempfile.TemporaryDirectory() as folder:
        for ending in (".jpg", ".png"):
            for turn in TURNS:
                check_turn(folder, ending, turn)
        plain = os.path.join(folder, "plain.jpg")
        make(plain)
        found = read(plain, plain + ".copy")
        check(found["turn"] == 1 and not found["has_time"] and not found["has_location"],
              f"plain: {found}")
    print("16 pictures agree")


main()
