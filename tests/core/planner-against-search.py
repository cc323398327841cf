#!/usr/bin/python3
"""The planner against an exhaustive search that knows nothing of labels.

planner-against-search.py PRINT-PLANS [SEED]

For each of several hundred random cases every subset of the grades (12 at most) is tried as a
schedule, its film, time and risk are reckoned anew, and of those within the limit all are kept that
no other beats. That must be the planner's whole answer, step by step. For a part of the cases the one
recommended is looked for by two ways more: where the limit does not bind, by networkx (Dijkstra on whole
numbers); where it does, by SciPy's mixed-integer solver HiGHS. Without these that part is left out, and
said so.
"""

import itertools
import json
import math
import re
import subprocess
import sys
from statistics import NormalDist

try:
    import networkx
except ImportError:
    networkx = None
try:
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
except ImportError:
    milp = None

N_CASES = 800
SHARE, TIMES = 0.15, 1.5        # scratch: of the grain, and how often that must go
NORMAL = NormalDist()
NEAR = 1e-9                     # a risk this near to the limit may fall either way
faults = []


def whole(value):
    return math.floor(value * 1e6 + 0.5)


def fill(case):
    usual = {"sigma": 4.0, "coarsest": math.inf, "factor": 1.0, "reserve": 0.0, "area": 1e5,
             "change": 10.0}
    for name, value in usual.items():
        if case[name] is None:
            case[name] = value
    if case["level"] is None:
        case["level"] = case["sigma"] * (NORMAL.inv_cdf(0.99) - NORMAL.inv_cdf(0.05))
    for grade in case["grades"]:
        if grade["minutes"] is None:
            grade["minutes"] = 60.0
    case["grades"].sort(key=lambda grade: (-grade["d50"], -grade["rate"], grade["index"]))


def cost_step(case, before, grade):
    """Passes, film, time and variance of one step; None when it is not to be had. before: the grain
    whose scratch is there, None for none; a first step is told by the case's own."""
    is_first = before == "start"
    scratch = case["scratch"] if is_first else before
    needed = case["level"] if is_first else 0.0
    if is_first and grade["d50"] > case["coarsest"]:
        return None
    if scratch is not None and grade["d50"] < scratch:
        needed = max(needed, TIMES * SHARE * scratch)
    elif not is_first:
        return None
    if needed <= 0:
        return None
    n = math.ceil(needed / grade["rate"] * (1 - 1e-9))
    levels = is_first and needed <= case["level"]
    if n > case["most"][0 if levels else 1]:
        return None
    minutes = n * grade["minutes"] * case["area"] / 1e6
    if scratch is not None and scratch != grade["d50"]:
        minutes += case["change"]
    variance = (n * grade["common"]) ** 2 + n * grade["scatter"] ** 2
    return n, whole(n * grade["rate"]), whole(minutes), variance


def cost_buffing(case, scratch):
    if case["buff"] == 0:
        return 0, 0.0
    taken = case["buff"] if scratch is None else max(case["buff"], TIMES * SHARE * scratch)
    return whole(taken), (case["buff_sd"] * taken / case["buff"]) ** 2


def get_risk(case, film, variance):
    mean = case["film"] - case["factor"] * film / 1e6 - case["reserve"]
    sd = math.sqrt(case["film_sd"] ** 2 + case["factor"] ** 2 * variance)
    if sd == 0:
        return 0.0 if mean >= 0 else 1.0
    return 0.5 * math.erfc(mean / sd / math.sqrt(2))


def try_schedule(case, places):
    """(film, time, grits, variance, places, steps) or None."""
    film = time = 0
    variance = 0.0
    before = "start"
    steps = []
    for place in places:
        grade = case["grades"][place]
        cost = cost_step(case, before, grade)
        if cost is None:
            return None
        steps.append([grade["index"], cost[0]])
        film, time, variance = film + cost[1], time + cost[2], variance + cost[3]
        before = grade["d50"]
    if before == "start":
        before = case["scratch"]
        if case["level"] > 0:
            return None
    if before is not None and before > case["entry"]:
        return None
    buffing = cost_buffing(case, before)
    return film + buffing[0], time, len(places), variance + buffing[1], places, steps


def try_all(case):
    n = len(case["grades"])
    tried = (try_schedule(case, places)
             for size in range(n + 1) for places in itertools.combinations(range(n), size))
    return filter(None, tried)


def search(case):
    """The schedules that no other beats, and whether one lay too near to the limit to say. Passes:
    as many as the case says, else the usual; where that gives nothing, as few more as will do."""
    patience = (0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96)
    for more in patience if 0 in (case["max_level"], case["max_refine"]) else (0,):
        case["most"] = case["max_level"] or 6 + more, case["max_refine"] or 8 + more
        front, near = search_within(case)
        if front or near:
            break
    return front, near


def search_within(case):
    within, near = [], False
    for schedule in try_all(case):
        risk = get_risk(case, schedule[0], schedule[3])
        near = near or 0 < abs(risk - case["limit"]) < NEAR
        if risk <= case["limit"]:
            within.append(schedule)
    within.sort()
    front = []
    for schedule in within:     # whoever comes before has no more film
        if not any(other[1] <= schedule[1] and other[2] <= schedule[2] for other in front):
            front.append(schedule)
    return front, near


def is_binding(case):
    return any(get_risk(case, schedule[0], schedule[3]) > case["limit"]
               for schedule in try_all(case))


def compare_missing(number, case):
    """Whether it was the film that stood in the way; then the sentence must say how much is missing."""
    deep = NORMAL.inv_cdf(1 - case["limit"])
    missing = [case["factor"] * film / 1e6 - case["film"] + case["reserve"] +
               deep * math.sqrt(case["film_sd"] ** 2 + case["factor"] ** 2 * variance)
               for film, _, _, variance, _, _ in try_all(case)]
    said = re.search(r"([0-9.]+) µm are missing", case["says"])
    if bool(missing) != bool(said):
        faults.append(f"case {number}: \"{case['says']}\", though {len(missing)} lack only film")
    elif said and abs(float(said[1]) - min(missing)) > 0.0501:
        faults.append(f"case {number}: \"{case['says']}\", not {min(missing)}")
    return bool(missing)


def ask_networkx(case):
    """(grits, film) of the fewest grits and of those the least film."""
    net = networkx.DiGraph()
    grits = 10 ** 15
    net.add_nodes_from(["start", "end"])
    for i, grade in enumerate(case["grades"]):
        cost = cost_step(case, "start", grade)
        if cost:
            net.add_edge("start", i, weight=cost[1] + grits)
        for j in range(i + 1, len(case["grades"])):
            cost = cost_step(case, grade["d50"], case["grades"][j])
            if cost:
                net.add_edge(i, j, weight=cost[1] + grits)
        if grade["d50"] <= case["entry"]:
            net.add_edge(i, "end", weight=cost_buffing(case, grade["d50"])[0])
    if case["level"] == 0 and (case["scratch"] is None or case["scratch"] <= case["entry"]):
        net.add_edge("start", "end", weight=cost_buffing(case, case["scratch"])[0])
    return divmod(networkx.dijkstra_path_length(net, "start", "end"), grits)


def list_edges(case):
    """(from, to, film, variance, grits) of everything that may follow on something; len(grades) is the
    end."""
    end = len(case["grades"])
    edges = []
    for i, grade in enumerate(case["grades"]):
        for j in ["start", *range(i)]:
            cost = cost_step(case, j if j == "start" else case["grades"][j]["d50"], grade)
            if cost:
                edges.append((j, i, cost[1], cost[3], 1))
        if grade["d50"] <= case["entry"]:
            edges.append((i, end, *cost_buffing(case, grade["d50"]), 0))
    if case["level"] == 0 and (case["scratch"] is None or case["scratch"] <= case["entry"]):
        edges.append(("start", end, *cost_buffing(case, case["scratch"]), 0))
    return edges


def bound_variance(case, edges):
    """The most variance that any schedule can have."""
    most = {"start": 0.0}
    for from_, to, _, variance, _ in sorted(edges, key=lambda edge: edge[1]):
        if from_ in most:
            most[to] = max(most.get(to, 0.0), most[from_] + variance)
    return most[len(case["grades"])]


def relax_risk(case, edges):
    """The limit as a line that no schedule within it violates: film + k · √variance has a root in it,
    and a root lies above its chord. What the line lets through too much is cut off one by one."""
    factor, deep = case["factor"], NORMAL.inv_cdf(1 - case["limit"])
    least = case["film_sd"]
    most = math.sqrt(least ** 2 + factor ** 2 * bound_variance(case, edges))
    slope = factor ** 2 / (most + least) if most + least > 0 else 0.0
    row = [factor * film / 1e6 + deep * slope * variance for _, _, film, variance, _ in edges]
    room = case["film"] - case["reserve"] - deep * least
    return LinearConstraint(numpy.array([row]), -numpy.inf, room + 1e-9)


def keep_flow(case, edges):
    """Out of the start once, out of every grade as often as into it."""
    nodes = ["start", *range(len(case["grades"]))]
    rows = numpy.zeros((len(nodes), len(edges)))
    for k, (from_, to, *_) in enumerate(edges):
        rows[nodes.index(from_), k] += 1
        if to < len(case["grades"]):
            rows[nodes.index(to), k] -= 1
    once = [1] + [0] * len(case["grades"])
    return LinearConstraint(rows, once, once)


def minimise(case, edges, constraints, costs, counts):
    """The edges of the cheapest schedule within the limit."""
    while True:
        found = milp(costs, constraints=constraints, integrality=numpy.ones(len(edges)),
                     bounds=Bounds(0, 1), options={"mip_rel_gap": 0})
        if found.x is None:
            return None
        taken = [k for k in range(len(edges)) if found.x[k] > 0.5]
        film, variance = (sum(edges[k][what] for k in taken) for what in (2, 3))
        if get_risk(case, film, variance) <= case["limit"]:
            return taken
        counts["cuts"] += 1
        row = numpy.zeros((1, len(edges)))
        row[0, taken] = 1
        constraints.append(LinearConstraint(row, -numpy.inf, len(taken) - 1))


def ask_highs(case, counts):
    """(grits, film) of the fewest grits and of those the least film, within the limit."""
    edges = list_edges(case)
    grits = numpy.array([edge[4] for edge in edges], float)
    film = numpy.array([edge[2] / 1e3 for edge in edges])
    constraints = [keep_flow(case, edges), relax_risk(case, edges)]
    fewest = minimise(case, edges, constraints, grits, counts)
    if fewest is None:
        return None
    n_grits = sum(edges[k][4] for k in fewest)
    constraints.append(LinearConstraint(grits[None, :], n_grits, n_grits))
    least = minimise(case, edges, constraints, film, counts)
    return n_grits, sum(edges[k][2] for k in least)


def compare_recommended(number, case, counts):
    plan = case["plans"][case["recommended"]]
    ours = len(plan["steps"]), whole(plan["film"])
    if is_binding(case):
        counts["bound"] += 1
        if milp is None:
            return
        who, best = "HiGHS", ask_highs(case, counts)
    elif networkx:
        counts["networkx"] += 1
        who, best = "networkx", ask_networkx(case)
    else:
        return
    if best != ours:
        faults.append(f"case {number}: {who} recommends {best}, not {ours}")


def compare(number, case, front):
    plans = case.get("plans", [])
    ours = [plan["steps"] for plan in plans]
    theirs = [schedule[5] for schedule in sorted(front, key=lambda s: (s[2], s[0]))]
    if ours != theirs:
        faults.append(f"case {number}: {ours} where the search finds {theirs}")
        return
    if not front and case["error"] != 1:
        faults.append(f"case {number}: refused with {case['error']}: {case['says']}")
    for plan, schedule in zip(plans, sorted(front, key=lambda s: (s[2], s[0]))):
        risk = get_risk(case, schedule[0], schedule[3])
        for what, is_, should in (("film", plan["film"], schedule[0] / 1e6),
                                  ("minutes", plan["minutes"], schedule[1] / 1e6),
                                  ("sd", plan["sd"], math.sqrt(schedule[3])),
                                  ("risk", plan["risk"], risk)):
            if not math.isclose(is_, should, rel_tol=1e-9, abs_tol=1e-12):
                faults.append(f"case {number}: {what} {is_}, not {should}")


def main():
    seed = sys.argv[2] if len(sys.argv) > 2 else "1"
    lines = subprocess.run([sys.argv[1], seed, str(N_CASES)], capture_output=True, check=True,
                           text=True).stdout.splitlines()
    counts = {"plans": 0, "none": 0, "near": 0, "largest": 0, "networkx": 0, "bound": 0, "cuts": 0,
              "missing": 0}
    for number, line in enumerate(lines):
        case = json.loads(line)
        fill(case)
        front, near = search(case)
        if near:
            counts["near"] += 1
            continue
        compare(number, case, front)
        if not front:
            counts["missing"] += compare_missing(number, case)
        counts["plans"] += len(front)
        counts["none"] += not front
        counts["largest"] = max(counts["largest"], len(front))
        if front and number % 4 == 0:
            compare_recommended(number, case, counts)
    print(f"{len(lines)} cases, seed {seed}: {counts['plans']} schedules that no other beats, "
          f"{counts['largest']} at most in one; {counts['none']} cases without any, "
          f"{counts['near']} left out; the film missing told {counts['missing']} times")
    if networkx:
        print(f"networkx agreed on {counts['networkx']} recommendations")
    else:
        print("networkx was not asked: install the package python3-networkx")
    if milp:
        print(f"HiGHS agreed on {counts['bound']}, where the limit binds, after {counts['cuts']} cuts")
    else:
        print("HiGHS was not asked: install the package python3-scipy")
    if counts["none"] > 0.6 * N_CASES or counts["near"] > N_CASES / 50 or \
            counts["plans"] < 0.8 * N_CASES or counts["missing"] < N_CASES / 20 or \
            counts["bound"] < N_CASES / 40:
        faults.append("the cases do not try the planner")
    for fault in faults[:20]:
        print(fault)
    sys.exit(1 if faults else 0)


main()
