#!/usr/bin/python3
"""The sums against SciPy, mpmath, NumPy and uncertainties, libraries that share nothing with ours.

sums-against-scipy.py PRINT-SUMS [SEED]

For every kind of sum the largest difference is printed, relative to the value (or to 1, where the
value may be nothing), and must stay below what the header promises. docs/checks.md has the table.

Exit status 77, which meson takes for "skipped", when a library is not there.
"""

import cmath
import os
import statistics
import subprocess
import sys
from fractions import Fraction

try:
    import mpmath
    import numpy
    from scipy import stats
    from uncertainties import ufloat
except ImportError as missing:
    print(f"skipped: {missing.name} is missing; install the packages python3-scipy, python3-mpmath, "
          "python3-numpy and python3-uncertainties")
    sys.exit(77)

mpmath.mp.dps = 40
differences = {}    # what: (largest, where)


def compare(what, ours, theirs, where, least=0.0):
    """Relative to the value, or to @least where that is more."""
    ours, theirs = float(ours), float(theirs)
    scale = max(abs(theirs), least)
    off = abs(ours - theirs) / scale if scale > 0 else abs(ours)
    if not off <= differences.get(what, (-1, None))[0]:    # NaN counts as the largest
        differences[what] = (off, where)


def check_cdf(z, p):
    compare("normal share, mpmath", p, mpmath.ncdf(mpmath.mpf(z)), z)
    compare("normal share, SciPy", p, stats.norm.cdf(z), z)


def check_quantile(p, z):
    root = mpmath.findroot(lambda x: mpmath.log(mpmath.ncdf(x)) - mpmath.log(mpmath.mpf(p)), z)
    compare("normal quantile, mpmath", z, root, p, least=1e-3)
    compare("normal quantile, SciPy", z, stats.norm.ppf(p), p, least=1e-3)


def check_student(p, degrees, t):
    compare("Student quantile, SciPy", t, stats.t.ppf(p, degrees), (p, degrees))
    if p < 0.5:     # where the share beyond keeps its digits
        most = degrees / (degrees + mpmath.mpf(t) ** 2)
        share = mpmath.betainc(mpmath.mpf(degrees) / 2, 0.5, 0, most, regularized=True) / 2
        compare("Student quantile's share, mpmath", share, p, (p, degrees))


def get_noncentral_t(t, degrees, shift):
    """P (T <= t) by Gauss and Legendre over the sd's share of chi, at 40 digits: no step in common
    with sums of equal steps over its logarithm."""
    half = mpmath.mpf(degrees) / 2
    log_unit = mpmath.log(2) + half * mpmath.log(half) - mpmath.loggamma(half)

    def at(s):
        return mpmath.exp(log_unit + (degrees - 1) * mpmath.log(s) - half * s * s) * \
            mpmath.ncdf(t * s - shift)
    width = 1 / mpmath.sqrt(2 * degrees)
    ends = sorted({max(mpmath.mpf(0), 1 + k * width) for k in (-14, -7, -4, -2, 0, 2, 4, 7, 14)})
    return mpmath.quad(at, ends)


def check_tolerance(n, coverage, confidence, k):
    if coverage <= 0.99 and 0.8 <= confidence <= 0.99 and n <= 400:    # where SciPy's holds
        theirs = stats.nct.ppf(confidence, n - 1, stats.norm.ppf(coverage) * n ** 0.5) / n ** 0.5
        compare("tolerance factor, SciPy", k, theirs, (n, coverage, confidence), least=0.1)
    if n in (2, 3, 7, 40, 400, 3000):
        with mpmath.workdps(25):
            shift = mpmath.sqrt(2) * mpmath.erfinv(2 * mpmath.mpf(coverage) - 1) * mpmath.sqrt(n)
            share = get_noncentral_t(mpmath.mpf(k) * mpmath.sqrt(n), int(n) - 1, shift)
        # How sure k really is, of the doubt that is left.
        compare("tolerance factor's confidence, mpmath", 1 - share, 1 - mpmath.mpf(confidence),
                (n, coverage, confidence))


def check_sample(*fields):
    values, (mean, sd, least, largest, error) = fields[:-5], fields[-5:]
    compare("mean, Python", mean, statistics.mean(values), len(values))
    compare("sd, NumPy", sd, numpy.std(numpy.longdouble(values), ddof=1), len(values), least=1e-3)
    compare("standard error, SciPy", error, stats.sem(numpy.longdouble(values)), len(values),
            least=1e-3)
    compare("least and largest", least + largest, min(values) + max(values), len(values))


def check_line(*fields):
    points = numpy.array(fields[:-7]).reshape(-1, 3)
    intercept, slope, var_intercept, var_slope, covariance, mean, sd = fields[-7:]
    x, y, weights = points.T
    # By QR of the design, scaled by the root of the weights; ours are sums from the middle.
    design = numpy.stack([numpy.ones_like(x), x], axis=1) * numpy.sqrt(weights)[:, None]
    (a, b), *_ = numpy.linalg.lstsq(design, y * numpy.sqrt(weights), rcond=None)
    inverse = numpy.linalg.inv(numpy.linalg.qr(design)[1])
    cov = inverse @ inverse.T
    compare("line, NumPy", intercept, a, len(x), least=abs(b) * 40)
    compare("line, NumPy", slope, b, len(x), least=abs(a) / 40)
    for ours, theirs in zip((var_intercept, var_slope, covariance), cov[[0, 1, 0], [0, 1, 1]]):
        compare("line's covariance, NumPy", ours, theirs, len(x))
    compare("opinions together, NumPy", mean, numpy.average(y, weights=weights), len(x), least=0.1)
    compare("opinions together, NumPy", sd, weights.sum() ** -0.5, len(x))


grades = []


def check_grade(system, number, d50_um):
    if grades and grades[-1][0] == system:
        compare("each series falls", d50_um < grades[-1][2], True, (system, number))
    grades.append((system, number, d50_um))


def check_nearest(d50_um, system, nearest_um):
    """By exact ratios instead of logarithms; of two equally near, the finer."""
    size = Fraction(d50_um)
    theirs = min((max(size / Fraction(row[2]), Fraction(row[2]) / size), row[2]) for row in grades
                 if row[0] == system)
    compare("nearest grade, fractions", nearest_um, theirs[1], (d50_um, system))


def or_else(number, usual):
    return usual if number != number else number


def check_coat(wet, mass, density, area, transfer, solids, thinner, *rest):
    wet_sd, solids_sd, transfer_sd, ours, ours_sd = rest
    solids = ufloat(solids, or_else(solids_sd, 0.05 * solids)) / (1 + thinner)
    if wet == wet:
        film = ufloat(wet, or_else(wet_sd, 0.1 * wet)) * solids
    else:
        film = mass / density * solids * ufloat(transfer, or_else(transfer_sd, 0.12)) / (area * 1e-6)
    compare("dry film, uncertainties", ours, film.nominal_value, wet)
    compare("dry film's doubt, uncertainties", ours_sd, film.std_dev, wet, least=1e-3)


def get_reflectance(n, angle_deg):
    """By the amplitudes of both polarisations and Snell's angle, ours by the squares."""
    angle = cmath.pi * angle_deg / 180
    inner = cmath.asin(cmath.sin(angle) / n)
    across = (cmath.cos(angle) - n * cmath.cos(inner)) / (cmath.cos(angle) + n * cmath.cos(inner))
    along = (n * cmath.cos(angle) - cmath.cos(inner)) / (n * cmath.cos(angle) + cmath.cos(inner))
    return (abs(across) ** 2 + abs(along) ** 2) / 2


def check_gloss(n, angle_deg, ours):
    compare("gloss of an index, cmath", ours,
            100 * get_reflectance(n, angle_deg) / get_reflectance(1.567, angle_deg), (n, angle_deg))


CHECKS = {"cdf": check_cdf, "quantile": check_quantile, "student": check_student,
          "tolerance": check_tolerance, "sample": check_sample, "line": check_line,
          "grade": check_grade, "nearest": check_nearest,
          "coat": check_coat, "gloss": check_gloss}
# What is promised; SciPy's own quantile of t is exact to nine digits only, as mpmath shows.
PROMISED = {"normal share, mpmath": 1e-12, "normal share, SciPy": 1e-12,
            "normal quantile, mpmath": 1e-12, "normal quantile, SciPy": 1e-12,
            "Student quantile, SciPy": 1e-8, "Student quantile's share, mpmath": 1e-12,
            "tolerance factor, SciPy": 1e-10,
            "tolerance factor's confidence, mpmath": 1e-10,
            "mean, Python": 1e-14, "sd, NumPy": 1e-9, "standard error, SciPy": 1e-9,
            "least and largest": 0, "line, NumPy": 1e-10, "line's covariance, NumPy": 1e-9,
            "opinions together, NumPy": 1e-12,
            "each series falls": 0, "nearest grade, fractions": 0,
            "dry film, uncertainties": 1e-12, "dry film's doubt, uncertainties": 1e-12,
            "gloss of an index, cmath": 1e-12}


def main():
    seed = int(sys.argv[2] if len(sys.argv) > 2 else os.environ.get("RAKE_TEST_SEED", "1"))
    text = subprocess.run([sys.argv[1], str(seed)], stdout=subprocess.PIPE, check=True,
                          text=True).stdout
    counts = {}
    for line in text.splitlines():
        word, *fields = line.split("\t")
        if word in ("read", "write"):    # for units-against-gnu.py
            continue
        counts[word] = counts.get(word, 0) + 1
        CHECKS[word](*map(float, fields))
    print(f"seed {seed}: " + ", ".join(f"{count} × {word}" for word, count in counts.items()))
    missing = set(CHECKS) - set(counts) | set(PROMISED) - set(differences)
    for word in sorted(missing):
        print(f"nothing was checked of: {word}")
    broken = 0
    for what, (off, where) in differences.items():
        kept = off <= PROMISED[what]
        broken += not kept
        print(f"{what:40} {off:.1e} (promised {PROMISED[what]:.0e})", "" if kept else f"BROKEN: {where}")
    return 1 if broken or missing else 0


if __name__ == "__main__":
    sys.exit(main())
