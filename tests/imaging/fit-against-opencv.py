#!/usr/bin/python3
"""fit-against-opencv.py PRINT-FIT: our projections beside those that OpenCV finds from the same pairs.

OpenCV's least squares is another program's, in other normal coordinates. Both take the same sum to its
least, so they agree to what rounding and the last step leave.
"""
import subprocess
import sys

try:
    import cv2
    import numpy as np
except ImportError:
    print("skipped: OpenCV for Python is not installed (tests/support/install test)")
    sys.exit(77)


def ours(pairs, size):
    text = "".join("%.17g %.17g %.17g %.17g\n" % tuple(pair) for pair in pairs)
    said = subprocess.run([sys.argv[1], *map(str, size)], input=text, capture_output=True, text=True,
                          check=True)
    return np.array([float(line) for line in said.stdout.split()]).reshape(3, 3)


def places(matrix, body):
    seen = np.c_[body, np.ones(len(body))] @ matrix.T
    return seen[:, :2] / seen[:, 2:]


def random_scene(random):
    """A face of 400 by 300 mm as some projection sees it, clicked at 5 to 12 places, a pixel off."""
    corners = np.array([[0, 0], [400, 0], [400, 300], [0, 300]], np.float32)
    seen = np.array([[300, 200], [1300, 200], [1300, 950], [300, 950]], np.float32)
    seen += random.uniform(-180, 180, seen.shape).astype(np.float32)
    true = cv2.getPerspectiveTransform(corners, seen)
    n = random.integers(5, 13)
    body = np.r_[corners[:4] + random.uniform(-20, 20, (4, 2)),
                 random.uniform([0, 0], [400, 300], (n - 4, 2))]
    return body, places(true, body) + random.normal(0, 1, body.shape)


def main():
    random = np.random.default_rng(20)
    grid = np.stack(np.meshgrid(np.arange(0, 401, 50), np.arange(0, 301, 50)), -1).reshape(-1, 2)
    worst = worst_sum = 0
    n_scenes = 100
    for _ in range(n_scenes):
        body, image = random_scene(random)
        theirs, _ = cv2.findHomography(body, image, 0)
        found = ours(np.c_[image, body], (1600, 1200))
        worst = max(worst, np.abs(places(found, grid.astype(float))
                                  - places(theirs, grid.astype(float))).max())
        sums = [((places(m, body) - image) ** 2).sum() for m in (found, theirs)]
        worst_sum = max(worst_sum, sums[0] - sums[1])
    print(f"{n_scenes} scenes: at most {worst:.2g} pixels apart; sum of squares at most "
          f"{worst_sum:.2g} above theirs")
    return 0 if worst < 0.05 and worst_sum < 1e-5 else 1


if __name__ == "__main__":
    sys.exit(main())
