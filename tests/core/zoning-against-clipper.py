#!/usr/bin/python3
"""Zones and patches against Clipper, an area library with nothing in common with GEOS.

zoning-against-clipper.py PRINT-ZONES [SEED]

Clipper computes on whole numbers; a micrometre is one. Of the zones of a face it is checked that
their areas add up, that no two overlap, and that together they are the face; of patches, that what
was united, cut or grown is what Clipper makes of the same. A fault counts as nothing when it is no
wider than the edges may be off: that is found by shrinking it.

Exit status 77, which meson takes for "skipped", when Clipper is not there.
"""

import os
import re
import subprocess
import sys

try:
    import pyclipper
except ImportError:
    print("skipped: Clipper is missing; install the package python3-pyclipper")
    sys.exit(77)

UM_PER_MM = 1000
EDGE_UM = 10            # no zone edge is off by half as much
ROUND_UM = 20           # chords of round corners
ROUND_FRACTION = 0.01   # what GEOS leaves out of a curve it grows, as a share of the distance
faults = []


def read_rings(wkt):
    """All rings of an area or paths of a line, as lists of whole micrometres."""
    if wkt == "EMPTY":
        return []
    return [[tuple(round(float(number) * UM_PER_MM) for number in point.split())
             for point in ring.split(",")]
            for ring in re.findall(r"\(([^()]+)\)", wkt)]


def get_area_um2(rings):
    """By the even-odd rule; rings of one area do not cross, so shells and holes alternate."""
    return sum(pyclipper.Area(ring) for ring in union(rings))


def clip(operation, subject, other):
    clipper = pyclipper.Pyclipper()
    if subject:
        clipper.AddPaths(subject, pyclipper.PT_SUBJECT, True)
    if other:
        clipper.AddPaths(other, pyclipper.PT_CLIP, True)
    if not subject and not other:
        return []
    return clipper.Execute(operation, pyclipper.PFT_EVENODD, pyclipper.PFT_EVENODD)


def union(rings):
    return clip(pyclipper.CT_UNION, rings, [])


def grow(rings, by_um, end=pyclipper.ET_CLOSEDPOLYGON):
    offset = pyclipper.PyclipperOffset(2, 2)
    if not rings:
        return []
    offset.AddPaths(rings, pyclipper.JT_ROUND, end)
    return offset.Execute(by_um)


def is_broad(rings, within_um):
    """Whether anything of it is wider than twice @within_um."""
    return bool(grow(union(rings), -within_um))


def expect(condition, what):
    if not condition:
        faults.append(what)


def get_bounds(rings):
    xs = [x for ring in rings for x, _ in ring]
    ys = [y for ring in rings for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def check_overlaps(name, zones):
    bounds = [get_bounds(zone) for zone in zones]
    for i, zone in enumerate(zones):
        for k in range(i):
            a, b = bounds[i], bounds[k]
            if a[0] > b[2] or b[0] > a[2] or a[1] > b[3] or b[1] > a[3]:
                continue
            shared = clip(pyclipper.CT_INTERSECTION, zone, zones[k])
            expect(not is_broad(shared, EDGE_UM), f"{name}: zones {k} and {i} overlap")


def check_face(name, face, zones):
    length_um = sum(sum(abs(complex(*b) - complex(*a)) for a, b in zip(ring, ring[1:]))
                    for zone in zones for ring in zone)
    face_um2 = get_area_um2(face)
    sum_um2 = sum(get_area_um2(zone) for zone in zones)
    expect(abs(sum_um2 - face_um2) <= length_um,
           f"{name}: the zones have {sum_um2 / 1e6:.4f} mm², the face {face_um2 / 1e6:.4f}")
    check_overlaps(name, zones)
    # Even-odd over the rings of all zones would cancel what overlaps: unite them one by one.
    clipper = pyclipper.Pyclipper()
    for zone in zones:
        clipper.AddPaths(pyclipper.SimplifyPolygons(zone, pyclipper.PFT_EVENODD),
                         pyclipper.PT_SUBJECT, True)
    together = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    expect(not is_broad(clip(pyclipper.CT_XOR, together, face), EDGE_UM),
           f"{name}: the zones together are not the face")


def check_same(what, ours, theirs, within_um):
    difference = clip(pyclipper.CT_XOR, ours, theirs)
    expect(not is_broad(difference, within_um), f"{what}: Clipper's area is another")


def check_combination(number, operation, a, b, ours):
    kind = {"union": pyclipper.CT_UNION, "intersection": pyclipper.CT_INTERSECTION,
            "difference": pyclipper.CT_DIFFERENCE}[operation]
    check_same(f"{operation} {number}", ours, clip(kind, a, b), EDGE_UM / 2)


def main():
    seed = int(sys.argv[2] if len(sys.argv) > 2 else os.environ.get("RAKE_TEST_SEED", "1"))
    print(f"seed {seed}")
    text = subprocess.run([sys.argv[1], str(seed)], stdout=subprocess.PIPE, check=True,
                          text=True).stdout
    counts = {}
    faces = []
    for number, line in enumerate(text.splitlines()):
        kind, *fields = line.split("\t")
        counts[kind] = counts.get(kind, 0) + 1
        if kind == "face":
            faces.append((fields[0], read_rings(fields[1]), []))
        elif kind == "zone":
            faces[-1][2].append(read_rings(fields[0]))
        elif kind in ("buffer", "stroke"):
            distance_um = float(fields[1]) * UM_PER_MM
            end = pyclipper.ET_OPENROUND if kind == "stroke" else pyclipper.ET_CLOSEDPOLYGON
            start = read_rings(fields[0])
            theirs = grow(start if kind == "stroke" else union(start), distance_um, end)
            check_same(f"{kind} {number}", read_rings(fields[2]), theirs,
                       ROUND_UM + ROUND_FRACTION * abs(distance_um))
        else:
            check_combination(number, kind, *map(read_rings, fields))
    for face in faces:
        check_face(*face)
    print(", ".join(f"{count} × {kind}" for kind, count in counts.items()))
    expect(counts.get("zone", 0) > 4 * counts.get("face", 0), "hardly anything was divided")
    for fault in faults[:20]:
        print(fault)
    if faults:
        print(f"{len(faults)} faults, seed {seed}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
