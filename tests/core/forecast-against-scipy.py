#!/usr/bin/python3
"""The forecast against SciPy's sums, and against surfaces that were sanded in the computer.

forecast-against-scipy.py PRINT-FORECASTS [SEED]

First, random looks: what they say of the surface is summed up by SciPy's normal distribution on a
grid far finer than the forecast's, over σ and where the surface began (the forecast sums over σ and where it
stands now), and the passes still needed are found from all of it, with nothing condensed on the way.

Then, whether the 80 % range is one: rough surfaces are made (random fields with a width of their
bumps, so that a surface's own share strays from the formula), sanded pass by pass with a rate nobody
knows quite, looked at by an eye that errs and rounds. Of the ranges told, between 72 and 88 % must hold
the number of passes it then took.

Exit status 77, which meson takes for "skipped", when NumPy or SciPy is not there.
"""

import subprocess
import sys

try:
    import numpy
    from scipy.optimize import brentq
    from scipy.special import log_ndtr, ndtr, ndtri
except ImportError:
    print("skipped: install the packages python3-numpy and python3-scipy")
    sys.exit(77)

NOTHING, TOO_EARLY, SAYS, REACHED, NOT_FALLING = range(5)
USUAL_UM, RATIO = 4.0, 1.6          # σ of a sprayed surface: docs/film.md, "Forecast"
START, START_SD = ndtri(0.99), 0.5
LOOK_SD, RESOLUTION = 0.25, 0.01    # the eye's 0.2, and a surface's own straying
EYE_SD = 0.2
N_CASES, N_SURFACES = 40, 400
faults = []


def ask(program, questions):
    """questions: (target, sigma, pass, scatter, common, [(depth, share), …])."""
    lines = []
    for target, sigma, *rate, looks in questions:
        numbers = [target, sigma, *rate, len(looks), *(x for look in looks for x in look)]
        lines.append(" ".join(repr(float(x)) for x in numbers))
    done = subprocess.run([program], input="\n".join(lines) + "\n", capture_output=True,
                          check=True, text=True)
    return [[float(word) for word in line.split()] for line in done.stdout.splitlines()]


# --- against a finer sum ------------------------------------------------------------------------

def make_looks(dice):
    """Looks as they might come, sooner or later, with a share of none and of all among them."""
    target = dice.choice([0.1, 0.25, 0.0, 0.05])
    sigma = dice.choice([numpy.nan, 2.5, 7.5])
    rate = dice.uniform(0.5, 4)
    scatter, common = rate * dice.uniform(0, 0.4), rate * dice.uniform(0, 0.5)
    true = numpy.exp(numpy.log(4) + 0.45 * dice.standard_normal())
    began = 2.3 + 0.5 * dice.standard_normal()
    looks, depth = [(0.0, 1.0)], 0.0
    for _ in range(dice.integers(1, 9)):
        depth += rate * dice.integers(1, 3)
        share = ndtr(began - depth / true + 0.2 * dice.standard_normal())
        looks.append((depth, round(share, 2)))
    return target, sigma, rate, scatter, common, looks


def reckon(question, n=401):
    target, sigma, rate, scatter, common, looks = question
    now = looks[-1][0]
    centre = numpy.log(USUAL_UM if numpy.isnan(sigma) else sigma)
    width = numpy.hypot(numpy.log(RATIO), common / rate)
    u = numpy.linspace(centre - 5 * width, centre + 5 * width, n)[:, None]
    a = numpy.linspace(-4, 7, n)[None, :]
    s = numpy.exp(u)

    def get_variance(between):
        return between / rate * (scatter / s) ** 2

    start_variance = START_SD ** 2 + get_variance(now)
    weight = (-0.5 * ((u - centre) / width) ** 2 - 0.5 * (a - START) ** 2 / start_variance
              - 0.5 * numpy.log(start_variance))
    for depth, share in looks:
        if depth == 0:
            continue
        sd = numpy.sqrt(LOOK_SD ** 2 + get_variance(now - depth))
        off = (ndtri(min(max(share, RESOLUTION), 1 - RESOLUTION)) - (a - depth / s)) / sd
        if share <= RESOLUTION:
            weight = weight + log_ndtr(off)
        elif share >= 1 - RESOLUTION:
            weight = weight + log_ndtr(-off)
        else:
            weight = weight - 0.5 * off ** 2 - numpy.log(sd)
    weight = numpy.exp(weight - weight.max())
    weight /= weight.sum()
    goal = ndtri(min(max(target, RESOLUTION), 1 - RESOLUTION))
    needed = s * (a - goal) - now
    step = (a[0, 1] - a[0, 0]) * s

    def get_enough(passes):
        sd = numpy.sqrt(passes * scatter ** 2 + (0.5 * step) ** 2)
        return float((weight * ndtr((passes * rate - needed) / sd)).sum())

    def find(p):
        return 0.0 if get_enough(0) >= p else brentq(lambda x: get_enough(x) - p, 0, 1e4)

    slope = -1 / s + 0 * a
    mean = [(weight * x).sum() for x in (a + 0 * s, slope)]
    covariance = [(weight * (x - mx) * (y - my)).sum()
                  for x, mx, y, my in ((a, mean[0], a, mean[0]), (slope, mean[1], slope, mean[1]),
                                       (a, mean[0], slope, mean[1]))]
    return ([find(p) for p in (0.5, 0.1, 0.9)] + [float(numpy.exp((weight * u).sum()))] + mean
            + covariance)


def compare_with_scipy(program, dice):
    questions = [make_looks(dice) for _ in range(N_CASES)]
    largest = {"passes": 0.0, "sigma": 0.0, "line": 0.0}
    for number, (question, said) in enumerate(zip(questions, ask(program, questions))):
        should = reckon(question)
        off = {"sigma": abs(said[4] / should[3] - 1),
               "line": max(abs(x - y) / abs(y) for x, y in zip(said[5:], should[4:]))}
        # where the last look is level enough already, none more is the answer, whatever the sums say
        if int(said[0]) == REACHED:
            off["passes"] = max(said[1:4])
        else:
            off["passes"] = max(abs(x - y) for x, y in zip(said[1:4], should[:3])) / (
                should[2] - should[1] + 0.01)
        # after looks that saw nothing left the sum has a long tail, of which nothing is shown
        if question[-1][-1][1] <= RESOLUTION:
            off["sigma"] = off["line"] = 0
        for what, limit in (("passes", 0.01), ("sigma", 0.002), ("line", 0.01)):
            largest[what] = max(largest[what], off[what])
            if off[what] > limit:
                faults.append(f"case {number}: {what} {said} where SciPy finds {should}")
    print(f"{N_CASES} sets of looks: passes differ by {largest['passes']:.4f} of the range at most, "
          f"σ by {largest['sigma']:.1e} of itself, the line by {largest['line']:.1e}")


# --- against surfaces ---------------------------------------------------------------------------

def make_heights(dice, size=128, bump=4.0):
    """A rough surface of mean 0 and standard deviation 1, in as many bumps as a small zone has."""
    waves = numpy.fft.rfft2(dice.standard_normal((size, size)))
    x = numpy.fft.fftfreq(size)[:, None]
    y = numpy.fft.rfftfreq(size)[None, :]
    smooth = numpy.exp(-2 * (numpy.pi * bump) ** 2 * (x ** 2 + y ** 2))
    field = numpy.fft.irfft2(waves * smooth, s=(size, size))
    expected = numpy.sqrt((numpy.abs(numpy.fft.fft2(numpy.fft.irfft2(smooth, s=(size, size))))
                           ** 2).mean())
    return numpy.sort((field / expected).ravel())


def see(dice, share):
    """What an eye says of it: off by a fifth on the probits, in whole percent, in fives where much."""
    seen = ndtr(ndtri(min(max(share, 1e-4), 1 - 1e-4)) + EYE_SD * dice.standard_normal())
    return round(seen * 20) / 20 if 0.15 < seen < 0.85 else round(seen, 2)


def sand(dice, target, rate, scatter, common, usual, true_sigma):
    """Looks after each pass until one is level enough, and after each the passes it still took."""
    heights = true_sigma(usual) * make_heights(dice)
    plane = heights.std() * (START + START_SD * dice.standard_normal())
    true_rate = rate * (1 + common / rate * dice.standard_normal())
    if true_rate < 0.3 * rate:
        true_rate = 0.3 * rate
    goal = heights[int(target * len(heights))]
    planes, looks = [plane], [(0.0, 1.0)]
    while len(planes) < 60:
        planes.append(planes[-1] - max(true_rate + scatter * dice.standard_normal(), 0.05))
    for n in range(1, 30):
        share = numpy.searchsorted(heights, planes[n]) / len(heights)
        looks.append((n * rate, see(dice, share)))
        if looks[-1][1] <= target:
            break
        took = 0.0
        if planes[n] > goal:
            end = next((i for i in range(n, 60) if planes[i] <= goal), None)
            if end is None:
                break
            took = end - n - 1 + (planes[end - 1] - goal) / (planes[end - 1] - planes[end])
        yield (target, numpy.nan if usual == USUAL_UM else usual, rate, scatter, common,
               list(looks)), took


def try_surfaces(program, dice, n, usual, true_sigma):
    asked, took = [], []
    for _ in range(n):
        grade = dice.choice(3)
        rate, scatter, common = ((3.0, 0.8, 0.6), (2.2, 0.6, 0.5), (1.6, 0.5, 0.4))[grade]
        for question, passes in sand(dice, dice.choice([0.1, 0.25]), rate, scatter, common, usual,
                                     true_sigma):
            asked.append(question)
            took.append(passes)
    said = numpy.array(ask(program, asked))
    took = numpy.array(took)
    within = (said[:, 2] <= took + 1e-6) & (took <= said[:, 3] + 1e-6)
    return asked, said, took, within


def tell(name, said, took, within):
    tells = said[:, 0] == SAYS
    print(f"{name}: {len(took)} looks; the range holds the truth {100 * within.mean():.1f} % of the "
          f"times, {100 * within[tells].mean():.1f} % where it is told ({tells.sum()}); too early "
          f"{100 * (said[:, 0] == TOO_EARLY).mean():.1f} %, not falling "
          f"{100 * (said[:, 0] == NOT_FALLING).mean():.2f} %; told too low "
          f"{100 * (took > said[:, 3])[tells].mean():.1f} %, too high "
          f"{100 * (took < said[:, 2])[tells].mean():.1f} %")
    return within[tells].mean()


def check_ranges(program, dice):
    asked, said, took, within = try_surfaces(
        program, dice, N_SURFACES, USUAL_UM,
        lambda usual: usual * numpy.exp(numpy.log(RATIO) * dice.standard_normal()))
    share = tell("surfaces as they usually are", said, took, within)
    if not 0.72 <= share <= 0.88 or not 0.72 <= within.mean() <= 0.88:
        faults.append(f"80 % ranges hold the truth {100 * share:.1f} % of the times")
    looks = numpy.array([len(question[-1]) - 1 for question in asked])
    for n in (1, 2, 3, 4, 6, 8):
        of = looks == n
        print(f"  after {n} passes: {100 * within[of].mean():.1f} % of {of.sum()}, "
              f"range {numpy.median(said[of, 3] - said[of, 2]):.1f} passes")
    if (said[:, 0] == NOT_FALLING).mean() > 0.05:
        faults.append("too many surfaces that fall are said not to")
    for factor in (0.5, 2):
        _, said, took, within = try_surfaces(program, dice, N_SURFACES // 5, USUAL_UM,
                                             lambda usual, factor=factor: factor * usual)
        tell(f"all of them {factor} times as rough", said, took, within)


def check_stuck(program, dice):
    """Paper that does not bite: the share stays, whatever is reckoned to have gone."""
    asked = []
    for _ in range(200):
        share = dice.uniform(0.3, 0.9)
        asked.append((0.1, numpy.nan, 3.0, 0.8, 0.6,
                      [(0.0, 1.0)] + [(3.0 * n, see(dice, share)) for n in range(1, 7)]))
    stuck = numpy.array(ask(program, asked))[:, 0] == NOT_FALLING
    print(f"six passes and no change: said to be not falling {100 * stuck.mean():.1f} % of the times")
    if stuck.mean() < 0.8:
        faults.append("paper that does not bite is not noticed")


def main():
    dice = numpy.random.default_rng(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    compare_with_scipy(sys.argv[1], dice)
    check_ranges(sys.argv[1], dice)
    check_stuck(sys.argv[1], dice)
    for fault in faults[:20]:
        print(fault)
    sys.exit(1 if faults else 0)


main()
