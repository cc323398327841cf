#!/usr/bin/python3
"""Faces laid on photographs, held against OpenCV's projection.

photo-map-against-opencv.py PRINT-PHOTO-MAP

Cameras that look at a face of 400 by 300 mm from all sides, down to 25 degrees above it, with lenses that
bend by up to 4 in a hundred at the corner. Within 1e-6 pixels and 1e-6 mm.
"""

import random
import subprocess
import sys

import cv2
import numpy

SEED = 20260302
WIDTH, HEIGHT = 4000, 3000
DIAGONAL = numpy.hypot(WIDTH, HEIGHT) / 2


def camera(rng):
    """A projection of the face's plane, from where the camera stands and looks."""
    up, round_ = numpy.radians(rng.uniform(25, 90)), rng.uniform(0, 2 * numpy.pi)
    distance, focal = rng.uniform(500, 1500), rng.uniform(2500, 5000)
    target = numpy.array([rng.uniform(150, 250), rng.uniform(100, 200), 0])
    towards = numpy.array([numpy.cos(round_) * numpy.cos(up), numpy.sin(round_) * numpy.cos(up),
                           -numpy.sin(up)])
    place = target + distance * towards
    forward = -towards
    right = numpy.cross([numpy.sin(round_), numpy.cos(round_), 0.01], forward)
    right /= numpy.linalg.norm(right)
    rotation = numpy.array([right, numpy.cross(forward, right), forward])
    inside = numpy.array([[focal, 0, WIDTH / 2], [0, focal, HEIGHT / 2], [0, 0, 1]])
    whole = inside @ numpy.column_stack([rotation, -rotation @ place])
    plane = whole[:, [0, 1, 3]]
    return plane / plane[2, 2] if abs(plane[2, 2]) > 1e-6 else plane


def bend(points, radial):
    middle = numpy.array([WIDTH / 2, HEIGHT / 2])
    out = (points - middle) / DIAGONAL
    return middle + DIAGONAL * out * (1 + radial * (out ** 2).sum(axis=1, keepdims=True))


def main():
    rng = random.Random(SEED)
    n_checked, worst_px, worst_mm = 0, 0.0, 0.0
    for _ in range(60):
        plane, radial = camera(rng), rng.choice([0, rng.uniform(-0.04, 0.04)])
        places = numpy.array([[rng.uniform(0, 400), rng.uniform(0, 300)] for _ in range(50)])
        text = " ".join(repr(float(n)) for n in [*plane.ravel(), radial, WIDTH, HEIGHT,
                                                 *places.ravel()])
        lines = subprocess.run([sys.argv[1]], input=text.encode(), check=True,
                               capture_output=True).stdout.decode().splitlines()
        seen = bend(cv2.perspectiveTransform(places.reshape(-1, 1, 2), plane).reshape(-1, 2), radial)
        for line, pixel, place in zip(lines, seen, places, strict=True):
            if line == "nowhere":
                # only what lies far outside of the picture may be nowhere
                if (abs(pixel - [WIDTH / 2, HEIGHT / 2]) < [WIDTH, HEIGHT]).all():
                    sys.exit(f"seed {SEED}: {place} is nowhere, not at {pixel}")
                continue
            numbers = numpy.array([float(word) for word in line.split()])
            worst_px = max(worst_px, abs(numbers[:2] - pixel).max())
            worst_mm = max(worst_mm, abs(numbers[2:] - place).max())
            n_checked += 1
    print(f"{n_checked} places, within {worst_px:.1e} pixels and {worst_mm:.1e} mm")
    if n_checked < 2000 or worst_px > 1e-6 or worst_mm > 1e-6:
        sys.exit(f"seed {SEED}: too far off")


main()
