#!/usr/bin/python3
"""The film ledger against NumPy and SciPy, and against plain chance.

film-against-numpy.py PRINT-FILM [SEED]

Every story that PRINT-FILM tells is reckoned anew in one piece: all rates, all scatter of passes, all
doubts of coats and gauges are one vector of independent normal numbers, every film and every reading
is a line in it, and the readings are conditioned on at once. Ours goes reading by reading and zone by
zone instead, so the two have no step in common. Then some sums are simulated.

Exit status 77, which meson takes for "skipped", when a library is not there.
"""

import math
import os
import subprocess
import sys

try:
    import numpy as np
    from scipy import stats
except ImportError as missing:
    print(f"skipped: {missing.name} is missing; install the packages python3-numpy and python3-scipy")
    sys.exit(77)

# docs/film.md
GAUGE_SD, REMOVED_SD, DRY_SD, WET_SD, SOLIDS_SD = 3.0, 0.33, 0.12, 0.10, 0.05
WITHIN = 1e-7       # relative, or in µm where that is more
differences = {}


def compare(what, ours, theirs, where):
    if math.isnan(theirs) and math.isnan(ours):
        return
    off = abs(ours - theirs) / max(abs(theirs), 1.0)
    if not off <= differences.get(what, (-1, None))[0]:
        differences[what] = (off, where)


class World:
    """Independent normal numbers, and lines in them: (constant, {index: weight})."""

    def __init__(self):
        self.sds, self.observations = [], []

    def new(self, sd):
        self.sds.append(sd)
        return {len(self.sds) - 1: 1.0}

    def observe(self, line):
        """The line is known to be nothing."""
        self.observations.append(line)

    def condition(self):
        n = len(self.sds)
        prior = np.diag(np.array(self.sds) ** 2)
        if not self.observations:
            return np.zeros(n), prior
        rows = np.zeros((len(self.observations), n))
        seen = np.zeros(len(self.observations))
        for i, (constant, weights) in enumerate(self.observations):
            seen[i] = -constant
            for index, weight in weights.items():
                rows[i, index] = weight
        spread = rows @ prior @ rows.T
        gain = prior @ rows.T @ np.linalg.pinv(spread, rcond=1e-13, hermitian=True)
        return gain @ seen, prior - gain @ rows @ prior


def add(line, other, times=1.0):
    if line is None:
        return None
    weights = dict(line[1])
    for index, weight in other[1].items():
        weights[index] = weights.get(index, 0.0) + times * weight
    return line[0] + times * other[0], weights


def evaluate(line, mean, covariance):
    if line is None:
        return math.nan, math.nan
    weights = np.zeros(len(mean))
    for index, weight in line[1].items():
        weights[index] = weight
    return line[0] + weights @ mean, math.sqrt(max(weights @ covariance @ weights, 0.0))


def risk(mean, sd, reserve):
    if math.isnan(mean):
        return math.nan
    return float(stats.norm.cdf((0 if math.isnan(reserve) else reserve) - mean, scale=sd))


class Zone:
    """A coat's film is known from coats until a reading replaces it; only readings teach the rates."""

    def __init__(self, world, rates, factor, coat_factor):
        self.world, self.rates, self.factor, self.coat_factor = world, rates, factor, coat_factor
        self.film = self.last_coat = None
        self.is_read = self.has_begun = False
        self.alike = world.new(1.0)     # the common error of coats reckoned alike

    def one_pass(self, grade):
        mean, common, scatter = self.rates[grade]
        taken = add((mean * self.factor, {}), (0.0, common), self.factor)
        return add(taken, (0.0, self.world.new(scatter)), self.factor)

    def sand(self, grade):
        self.has_begun = True
        taken = self.one_pass(grade)
        self.film, self.last_coat = add(self.film, taken, -1), add(self.last_coat, taken, -1)

    def coat(self, dry, sd, is_alike, scuff=0.0, scuff_sd=0.0):
        self.film = add(self.film, (scuff, self.world.new(scuff_sd)), -1)
        if not self.has_begun:
            self.film, self.has_begun = (0.0, {}), True
        dry, sd = dry * self.coat_factor, sd * self.coat_factor
        own = self.world.new(sd)
        doubt = {index: sd for index in self.alike} if is_alike else own
        self.film = add(self.film, (dry, doubt))
        self.last_coat = (dry, doubt)

    def take_off(self, removed, sd, both=True):
        removed = (removed, self.world.new(sd))
        self.film, self.last_coat = add(self.film, removed, -1), add(self.last_coat, removed, -1)

    def read(self, value, sd):
        self.has_begun = True
        noise = self.world.new(sd)
        if self.is_read:
            self.world.observe(add(add(self.film, (0.0, noise)), (value, {}), -1))
            self.alike = self.world.new(1.0)
            return
        # nothing was known before: the film is what was read, but for the gauge's error
        self.is_read = True
        self.film = (value, {index: -weight for index, weight in noise.items()})
        self.alike = self.world.new(1.0)


def told(number, usual):
    return usual if math.isnan(number) else number


def take_line(zone, words):
    kind, numbers = words[0], words[1:]
    if kind == "pass":
        zone.sand(numbers[0])
        return
    numbers = [float(number) for number in numbers]
    if kind == "coat":
        dry, dry_sd, wet, solids, scuff, scuff_sd = numbers
        is_alike = math.isnan(dry_sd)
        if math.isnan(dry):
            dry = wet * solids
            dry_sd = dry * math.hypot(WET_SD, SOLIDS_SD)
        else:
            dry_sd = told(dry_sd, DRY_SD * dry)
        zone.coat(dry, dry_sd, is_alike, told(scuff, 0.0), told(scuff_sd, 0.0))
    elif kind == "read":
        zone.read(numbers[0], told(numbers[1], GAUGE_SD))
    elif kind == "recoat":
        added, added_sd, removed, removed_sd = numbers
        zone.coat(added, added_sd, False)
        zone.take_off(removed, removed_sd)
    elif kind == "scrape":
        zone.take_off(numbers[2], numbers[3])


def read_stories(text):
    story = None
    for line in text.splitlines():
        words = line.split("\t")
        if words[0] == "job":
            if story:
                yield story
            story = {"rates": [], "zones": []}
        elif words[0] == "rate":
            story["rates"].append([words[1]] + [float(word) for word in words[2:]])
        elif words[0] == "zone":
            story["zones"].append((words[1:], []))
        else:
            story["zones"][-1][1].append(words)
    yield story


def check_story(number, story):
    world = World()
    rates = {grade: (mean, world.new(sd), scatter)
             for grade, mean, sd, scatter, *_ in story["rates"]}
    zones = []
    for (stage, factor, coat_factor, reserve), lines in story["zones"]:
        zone = Zone(world, rates, float(factor), float(coat_factor))
        for words in lines[:-1]:
            take_line(zone, words)
        zone.stage, zone.reserve, zone.ours = stage, float(reserve), [float(w) for w in lines[-1][1:]]
        zone.next_pass = zone.one_pass(stage)
        zones.append(zone)
    mean, covariance = world.condition()
    for grade, prior_mean, prior_sd, _, our_mean, our_sd, _ in story["rates"]:
        known = evaluate((prior_mean, rates[grade][1]), mean, covariance)
        compare("rate, mean", our_mean, known[0], (number, grade))
        compare("rate, sd", our_sd, known[1], (number, grade))
    for which, zone in enumerate(zones):
        where = (number, which)
        film, coat = (evaluate(line, mean, covariance) for line in (zone.film, zone.last_coat))
        after = evaluate(add(zone.film, zone.next_pass, -1), mean, covariance)
        coat_after = evaluate(add(zone.last_coat, zone.next_pass, -1), mean, covariance)
        one = evaluate(zone.next_pass, mean, covariance)
        theirs = [*film, *coat, risk(*film, zone.reserve), risk(*after, zone.reserve),
                  risk(*coat, 0), risk(*coat_after, 0), *one]
        names = ["film, mean", "film, sd", "last coat, mean", "last coat, sd", "risk now",
                 "risk after a pass", "risk of the line now", "risk of the line after a pass",
                 "a pass, mean", "a pass, sd"]
        for name, mine, other in zip(names, zone.ours, theirs):
            compare(name, mine, other, where)


def simulate():
    """A gauge pair and two passes more, by drawing: no algebra at all. Nothing of ours is in it; it
    checks that the reckoning above means what docs/film.md says."""
    draw = np.random.default_rng(7)
    n = 2_000_000
    rate = draw.normal(3.0, 1.05, n)
    begun = 120 + draw.normal(0, 3, n)                      # read as 120 by a gauge of sd 3
    taken = sum(rate + draw.normal(0, 0.75, n) for _ in range(4))
    weight = stats.norm.pdf(104.0, begun - taken, 3.0)      # then read as 104
    left = begun - taken - sum(rate + draw.normal(0, 0.75, n) for _ in range(2))
    world = World()
    rates = {"P800": (3.0, world.new(1.05), 0.75)}
    zone = Zone(world, rates, 1.0, 1.0)
    zone.read(120.0, 3.0)
    for _ in range(4):
        zone.sand("P800")
    zone.read(104.0, 3.0)
    for _ in range(2):
        zone.sand("P800")
    mean, covariance = world.condition()
    film = evaluate(zone.film, mean, covariance)
    drawn = float(np.average(left, weights=weight))
    drawn_sd = math.sqrt(float(np.average((left - drawn) ** 2, weights=weight)))
    drawn_risk = float(np.average(left < 92, weights=weight))
    print(f"simulated: {drawn:.3f} ± {drawn_sd:.3f}, under 92: {drawn_risk:.4f}; "
          f"reckoned {film[0]:.3f} ± {film[1]:.3f}, {risk(*film, 92):.4f}")
    return (abs(drawn - film[0]) < 0.02 and abs(drawn_sd - film[1]) < 0.02 and
            abs(drawn_risk - risk(*film, 92)) < 0.002)


def main():
    seed = sys.argv[2] if len(sys.argv) > 2 else os.environ.get("RAKE_TEST_SEED", "1")
    print(f"seed {seed}")
    told_by_us = subprocess.run([sys.argv[1], seed], capture_output=True, text=True, check=True).stdout
    n_stories = 0
    for number, story in enumerate(read_stories(told_by_us)):
        check_story(number, story)
        n_stories += 1
    for what, (off, where) in sorted(differences.items()):
        print(f"{what}: off by {off:.2g} at most, in story {where}")
    is_well = simulate()
    faults = [what for what, (off, _) in differences.items() if not off <= WITHIN]
    if n_stories < 10 or len(differences) < 12:
        faults.append(f"only {n_stories} stories and {len(differences)} kinds of number")
    if not is_well:
        faults.append("what was simulated")
    for fault in faults:
        print("FAILED", fault)
    return 1 if faults else 0


sys.exit(main())
