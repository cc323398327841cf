#!/usr/bin/python3
"""Plays a scenario through rakelight-cli and compares what it says, step by step.

scenario.py RAKELIGHT-CLI FILE [--keep DIR] [--verbose]

A scenario is text: what is done and seen at the bench, and what an expert would say to it. Each line
is one word and what belongs to it:

  job NAME finish=… sheen=… cure_days=… …     the job's facts, fields as in docs/entries.md
  face NAME                                   the zones that follow are its own
  zone NAME cm2=300 reserve=40 edge factor=1.8 first=P1200
  schedule P800, P1200, last look, cut        for every face
  gate-of FACE                                 which face "gate" and "go" speak of
  at 2026-03-02T09:00 | at +40min | at day 16 (days since the last coat)
  coat [FACE] dry=68 sd=8                     on one face, or on all; or wet=90 solids=22%
  rate P800 3.0 0.8                           µm a pass, and its sd from pass to pass
  go P1200                                    the stage is begun
  pass P800 A1 A2 strokes=0 times=2 paper=fresh wheel=W
  look A1 A2 dry lamp=90 wiped=dry-cloth light=lamp : even
  look A1 dry lamp=90 : low 28% 16mm          (also: scratch 30mm · burn · sand-through · witness-line)
  mark A1 low-spot size=4 name=spot           in the zone's last look
  revisit spot gone | still-there             in the last look at the mark's zone
  reading B3 gloss 57 56 55 | reading B3 temperature 46 | reading A3 film 60 sd=11
  wheel W other=yes
  repair C2 drop-fill closes=smear back=P1200 cure_days=2 added=26 added_sd=4 removed=3 removed_sd=1
  accept C3 "faint peel"
  step 3 "what it is about"
  expect A1 A2 sand again D11 [back=P2000] [accepted] [says "…"]
  expect A3 none
  expect film A2 88.0 12.1                    µm left, mean and sd; to within 0.3 µm
  expect last-coat B2 13.0 4.2                likewise, above the line under the last coat
  expect risk C3 0.8% | expect next C3 1.7%   now, and after one pass more; to within 0.3 points
  expect last-coat-risk B2 0.1% | expect last-coat-next B2 0.6%
  gate open | gate shut
  advice B2 recoat says "the whole of top"  what is said before such a repair
  hand-over check | hand-over done             nothing stands in the way; and the piece is given away
  claim C1 "a ring" decision="not ours" finding="…"   (again: more of the same claim)
  closed yes | closed no                      for work
  then C1 open=0                              so many open marks had the zone when it was handed over
  waits film "A2 stop: the last coat is too thin for another pass"

What waits is counted and named, never passed over in silence. The exit status is 0 when every
expectation held.
"""

import datetime
import json
import math
import os
import re
import shlex
import subprocess
import sys
import tempfile

VERDICTS = ["ready", "sand again", "look again", "wait", "stop", "repair", "none"]
HEIGHT_MM = 100.0


FILM_UM = 0.3           # how near a film must be
RISK_POINTS = 0.3       # and a risk, in points of a hundred
FILM_NUMBERS = {        # mean and sd in µm, or one number that is a share
    "film": ("film_um", "film_sd_um"),
    "last-coat": ("last_coat_um", "last_coat_sd_um"),
    "risk": ("risk_now",),
    "next": ("risk_after_next_pass",),
    "last-coat-risk": ("last_coat_risk_now",),
    "last-coat-next": ("last_coat_risk_after_next_pass",),
}


class Fault(Exception):
    pass


def number_in(options, key):
    return float(options[key]) if key in options else None


class Scenario:
    def __init__(self, program, folder):
        self.program = program
        self.job_path = os.path.join(folder, "scenario.rakejob")
        self.now = datetime.datetime(2026, 3, 2, 9, 0, tzinfo=datetime.timezone.utc)
        self.last_coat = None
        self.lines = []
        self.faces = []
        self.zones = {}
        self.stages = []
        self.last_look = {}
        self.marks = {}
        self.n_named = 0
        self.step = "before the first step"
        self.gate_face = None
        self.failures = []
        self.waiting = []
        self.n_expectations = 0
        self.started = False

    # --- writing ---------------------------------------------------------------------------------

    def say(self, kind, **fields):
        line = {"kind": kind, "written": self.now.isoformat().replace("+00:00", "Z")}
        line.update({key: value for key, value in fields.items() if value is not None})
        self.lines.append(json.dumps(line, ensure_ascii=False))
        self.now += datetime.timedelta(milliseconds=1)

    def new_name(self, stem):
        self.n_named += 1
        return f"@{stem}-{self.n_named}"

    def stage_id(self, face, grade):
        return f"@{face}/{grade}"

    def start(self):
        """The faces and zones are laid side by side, as wide as their areas ask."""
        if self.started:
            return
        self.started = True
        for face in self.faces:
            x = 0.0
            added = []
            for zone in (z for z in self.zones.values() if z["face"] == face):
                width = zone["cm2"] * 100 / HEIGHT_MM
                zone["x"], zone["width"] = x, width
                corners = [(x, 0), (x + width, 0), (x + width, HEIGHT_MM), (x, HEIGHT_MM), (x, 0)]
                record = {
                    "id": "@" + zone["name"],
                    "name": zone["name"],
                    "shape": "POLYGON ((%s))" % ", ".join(f"{a:g} {b:g}" for a, b in corners),
                    "is_edge": "yes" if zone["edge"] else "no",
                }
                for key in ("edge_factor", "reserve_um", "coat_factor"):
                    if zone.get(key) is not None:
                        record[key] = zone[key]
                if zone.get("first"):
                    record["first_stage"] = self.stage_id(face, zone["first"])
                added.append(record)
                x += width
            outline = f"POLYGON ((0 0, {x:g} 0, {x:g} {HEIGHT_MM:g}, 0 {HEIGHT_MM:g}, 0 0))"
            self.say("face", id="@" + face, name=face, outline=outline)
            self.say("schedule", face="@" + face, stages=[
                {key: value for key, value in {
                    "id": self.stage_id(face, s["key"]), "action": s["action"],
                    "grade": s["grade"]}.items() if value}
                for s in self.stages])
            if len(added) == 1:
                added[0]["id"] = "@" + face
                only = next(z for z in self.zones.values() if z["face"] == face)
                only["id"] = "@" + face
                self.say("zone_facts", zone="@" + face, name=only["name"],
                         is_edge=added[0]["is_edge"],
                         edge_factor=added[0].get("edge_factor"),
                         reserve_um=added[0].get("reserve_um"),
                         coat_factor=added[0].get("coat_factor"),
                         first_stage=added[0].get("first_stage"))
            else:
                self.say("zones", face="@" + face, division="grid", removed=["@" + face],
                         added=added)

    def zone_id(self, name):
        if name not in self.zones:
            raise Fault(f"there is no zone {name}")
        return self.zones[name].get("id", "@" + name)

    def flush(self):
        if not self.lines:
            return
        text = "\n".join(self.lines) + "\n"
        self.lines = []
        done = subprocess.run([self.program, "import", self.job_path], input=text.encode(),
                              capture_output=True, check=False)
        if done.returncode != 0:
            raise Fault("the import was refused: " + done.stderr.decode().strip() + "\n" + text)

    def status(self):
        self.flush()
        done = subprocess.run([self.program, "status", "--json", "--facts", "--present-rules",
                               "--now", self.now.isoformat(), self.job_path],
                              capture_output=True, check=False)
        if done.returncode != 0:
            raise Fault("status failed: " + done.stderr.decode().strip())
        return json.loads(done.stdout)

    def zone_status(self, name):
        for face in self.status()["faces"]:
            for zone in face["zones"]:
                if zone["name"] == name:
                    return zone
        raise Fault(f"status does not tell of {name}")

    # --- what is done ------------------------------------------------------------------------------

    def do_job(self, words):
        name, options = words[0], dict(word.split("=", 1) for word in words[1:])
        for key, value in options.items():
            if re.fullmatch(r"-?[0-9.]+", value):
                options[key] = float(value)
        self.say("job", id="@job", name=name, **options)

    def do_face(self, words):
        self.faces.append(words[0])
        self.gate_face = self.gate_face or words[0]

    def do_zone(self, words):
        zone = {"name": words[0], "face": self.faces[-1], "edge": False}
        for word in words[1:]:
            if word == "edge":
                zone["edge"] = True
                continue
            key, value = word.split("=")
            key = {"factor": "edge_factor", "reserve": "reserve_um"}.get(key, key)
            zone[key] = value if key == "first" else float(value)
        self.zones[zone["name"]] = zone

    def do_schedule(self, words):
        has_level = False
        for step in " ".join(words).split(","):
            step = step.strip()
            if step in ("last look", "rest"):
                stage = {"key": step, "action": step, "grade": None}
            elif step.startswith("P"):
                stage = {"key": step, "action": "refine" if has_level else "level", "grade": step}
                has_level = True
            else:
                stage = {"key": step, "action": "buff", "grade": step}
            self.stages.append(stage)

    def do_at(self, words):
        text = " ".join(words)
        if text.startswith("+"):
            number, unit = re.fullmatch(r"\+([0-9.]+)(min|h|d)", text).groups()
            seconds = float(number) * {"min": 60, "h": 3600, "d": 86400}[unit]
            self.now += datetime.timedelta(seconds=seconds)
        elif text.startswith("day"):
            moment = self.last_coat + datetime.timedelta(days=float(words[1]))
            if moment < self.now:
                raise Fault(f"day {words[1]} is past")
            self.now = moment
        else:
            self.now = datetime.datetime.fromisoformat(text).replace(tzinfo=datetime.timezone.utc)

    def do_coat(self, words):
        self.start()
        self.last_coat = self.now
        options = dict(word.split("=", 1) for word in words if "=" in word)
        solids = options.get("solids")
        named = [word for word in words if "=" not in word]
        for face in self.faces:
            if not named or face in named:
                self.say("coat", face="@" + face, dry_um=number_in(options, "dry"),
                         dry_sd_um=number_in(options, "sd"), wet_um=number_in(options, "wet"),
                         volume_solids_fraction=float(solids.rstrip("%")) / 100 if solids else None)

    def do_rate(self, words):
        self.start()
        self.say("rate", grade=words[0], removal_um=float(words[1]), common_sd_um=0,
                 scatter_sd_um=float(words[2]))

    def do_go(self, words):
        self.start()
        self.say("begin_stage", face="@" + self.gate_face,
                 stage=self.stage_id(self.gate_face, " ".join(words)))

    def do_pass(self, words):
        self.start()
        names = [word for word in words[1:] if "=" not in word]
        options = dict(word.split("=", 1) for word in words[1:] if "=" in word)
        for _ in range(int(options.get("times", 1))):
            for face in self.faces:
                here = [self.zone_id(n) for n in names if self.zones[n]["face"] == face]
                if here:
                    self.say("pass", stage=self.stage_id(face, words[0].replace("-", " ")), zones=here,
                             stroke_deg=float(options["strokes"]) if "strokes" in options else None,
                             paper=options.get("paper"),
                             wheel="@" + options["wheel"] if "wheel" in options else None)

    def do_look(self, words):
        self.start()
        split = words.index(":") if ":" in words else len(words)
        head, seen = words[:split], words[split + 1:]
        names = [word for word in head if word in self.zones]
        options = dict(word.split("=", 1) for word in head if "=" in word)
        surface = next((w for w in head if w in ("dry", "wet", "dusty", "warm", "hazed")), None)
        for name in names:
            look = self.new_name("look")
            self.last_look[name] = look
            self.say("look", id=look, zone=self.zone_id(name), surface=surface,
                     wiped_with=options.get("wiped", "dry cloth").replace("-", " "),
                     light=options.get("light", "lamp"),
                     lamp_deg=float(options["lamp"]) if "lamp" in options else None)
            if seen:
                self.say_state(look, seen)

    def say_state(self, look, seen):
        fields = {"look": look}
        if seen[0] == "even":
            fields["state"] = "uniform"
        elif seen[0] == "low":
            fields["state"] = "low spot"
            fields["low_spot_fraction"] = float(seen[1].rstrip("%")) / 100
            if len(seen) > 2:
                fields["largest_island_mm"] = float(seen[2].removesuffix("mm"))
            if len(seen) > 3:
                fields["n_islands_over_limit"] = float(seen[3].removesuffix("over"))
        elif seen[0] == "scratch":
            fields["state"] = "scratch"
            if len(seen) > 1:
                fields["scratch_mm"] = float(seen[1].removesuffix("mm"))
        else:
            fields["state"] = seen[0] if seen[0] == "sand-through" else seen[0].replace("-", " ")
        self.say("state", **fields)

    def do_mark(self, words):
        zone = self.zones[words[0]]
        options = dict(word.split("=", 1) for word in words[2:])
        size = float(options.get("size", 5))
        x = zone["x"] + float(options.get("x", zone["width"] / 2))
        y = float(options.get("y", HEIGHT_MM / 2))
        kind = words[1] if words[1] in ("sand-through", "shrink-back") else words[1].replace("-", " ")
        if kind in ("scratch", "witness line"):
            shape = f"LINESTRING ({x - size / 2:g} {y:g}, {x + size / 2:g} {y:g})"
        elif kind in ("pinhole", "nib"):
            shape = f"POINT ({x:g} {y:g})"
        else:
            ring = [(x + size / 2 * math.cos(k * math.pi / 8), y + size / 2 * math.sin(k * math.pi / 8))
                    for k in range(16)]
            shape = "POLYGON ((%s))" % ", ".join(f"{a:.3f} {b:.3f}" for a, b in ring + ring[:1])
        name = "@" + options["name"] if "name" in options else self.new_name("mark")
        self.marks[options.get("name", name)] = (name, words[0])
        self.say("mark", id=name, look=self.last_look[words[0]], mark=kind, shape=shape)

    def do_revisit(self, words):
        mark, zone = self.marks[words[0]]
        self.say("revisit", look=self.last_look[zone], mark=mark,
                 outcome=words[1].replace("-", " "))

    def do_reading(self, words):
        quantity = {"gloss": "gloss gu", "temperature": "temperature celsius", "film": "film um"}
        options = dict(word.split("=", 1) for word in words if "=" in word)
        for value in words[2:]:
            if "=" in value:
                continue
            self.say("reading", sd=number_in(options, "sd"), zone=self.zone_id(words[0]), quantity=quantity[words[1]],
                     value=float(value))

    def do_wheel(self, words):
        options = dict(word.split("=", 1) for word in words[1:])
        self.start()
        self.say("wheel", id="@" + words[0], name=words[0], compound=options.get("compound"),
                 carried_other=options.get("other"))

    def do_repair(self, words):
        options = dict(word.split("=", 1) for word in words[2:])
        zone = self.zones[words[0]]
        closes = [self.marks[name][0] for name in options.get("closes", "").split(",") if name]
        self.say("repair", zone=self.zone_id(words[0]), method=words[1].replace("-", " "),
                 marks=closes or None,
                 cure_days=number_in(options, "cure_days"),
                 added_um=number_in(options, "added"), added_sd_um=number_in(options, "added_sd"),
                 removed_um=number_in(options, "removed"),
                 removed_sd_um=number_in(options, "removed_sd"),
                 back_to_stage=self.stage_id(zone["face"], options["back"])
                 if "back" in options else None)

    def do_accept(self, words):
        zone = self.zone_status(words[0])
        speaking = [r for r in zone["reasons"] if r["verdict"] != "ready"]
        self.say("acceptance", zone=self.zone_id(words[0]), verdict=zone["verdict"],
                 reason=words[1], rules=sorted({r["rule"] for r in speaking}),
                 matters=sorted({r["matter"] for r in speaking}))

    # --- what is said to it -----------------------------------------------------------------------

    def fail(self, sentence):
        self.failures.append(f"{self.step}: {sentence}")

    def do_step(self, words):
        self.step = "step " + " ".join(words)

    def expect_film(self, words):
        fields = FILM_NUMBERS[words[0]]
        numbers = [word for word in words[1:] if word not in self.zones]
        if len(numbers) != len(fields):
            raise Fault("expect which numbers? " + " ".join(words))
        for name in (word for word in words[1:] if word in self.zones):
            film = self.zone_status(name)["film"]
            for field, number in zip(fields, numbers):
                self.n_expectations += 1
                is_share = len(fields) == 1
                told = film[field]
                wanted = float(number.rstrip("%")) / (100 if is_share else 1)
                near = RISK_POINTS / 100 if is_share else FILM_UM
                if told is None or abs(told - wanted) > near:
                    self.fail(f"{name}: {field} is {told}, an expert says {wanted:g} ({film['not_known']})")

    def do_expect(self, words):
        if words[0] in FILM_NUMBERS:
            self.expect_film(words)
            return
        names, rest = [], list(words)
        while rest and rest[0] in self.zones:
            names.append(rest.pop(0))
        verdict = next((v for v in VERDICTS if rest[: len(v.split())] == v.split()), None)
        if verdict is None or not names:
            raise Fault("expect what? " + " ".join(words))
        rest = rest[len(verdict.split()):]
        for name in names:
            self.n_expectations += 1
            self.compare(name, self.zone_status(name), verdict, list(rest))

    def compare(self, name, zone, verdict, rest):
        told = zone["verdict"] or "none"
        reasons = [r for r in zone["reasons"]]
        listing = "; ".join(f"{r['trace']} {r['verdict']}: {r['sentence']}" for r in reasons)
        if told != verdict:
            self.fail(f"{name} is “{told}”, an expert says “{verdict}” ({listing})")
            return
        while rest:
            word = rest.pop(0)
            if re.fullmatch(r"D[0-9]+", word):
                strongest = [r["trace"] for r in reasons
                             if r["verdict"] == told and not r["is_accepted"]]
                if word not in strongest:
                    self.fail(f"{name} is {told}, but not by {word} ({listing})")
            elif word == "accepted":
                if not zone["is_accepted"]:
                    self.fail(f"{name} does not show as accepted")
            elif word.startswith("back="):
                back = zone["back_to"]["grade"] if zone["back_to"] else None
                if back != word[5:]:
                    self.fail(f"{name} goes back to {back}, not to {word[5:]}")
            elif word == "says":
                text = rest.pop(0)
                if not any(text.lower() in (r["sentence"] or "").lower() or
                           text.lower() in (r["clears"] or "").lower() for r in reasons):
                    self.fail(f"{name} does not say “{text}” ({listing})")
            else:
                raise Fault("expect …? " + word)

    def do_settled(self, words):
        for name in words:
            self.n_expectations += 1
            zone = self.zone_status(name)
            if not zone["is_settled"]:
                self.fail(f"{name} is {zone['verdict']} and not settled")

    def do_gate(self, words):
        self.n_expectations += 1
        face = next(f for f in self.status()["faces"] if f["name"] == self.gate_face)
        if face["gate"]["is_open"] != (words[0] == "open"):
            self.fail(f"the gate is not {words[0]}: {face['gate']['sentence']}")

    def do_gate_of(self, words):
        self.gate_face = words[0]

    def do_advice(self, words):
        self.n_expectations += 1
        told = self.zone_status(words[0])["repair_advice"].get(words[1].replace("-", " "), [])
        if not any(words[3].lower() in sentence.lower() for sentence in told):
            self.fail(f"before {words[1]} of {words[0]} nothing says “{words[3]}” ({told})")

    def run(self, *arguments):
        self.flush()
        done = subprocess.run([self.program, *arguments], capture_output=True, check=False)
        return done.returncode, done.stdout.decode() + done.stderr.decode()

    def do_hand_over(self, words):
        self.n_expectations += 1
        code, text = self.run("hand-over", "--check", "--now", self.now.isoformat(), self.job_path)
        if code != 0:
            self.fail("something stands in the way of the hand-over: " + text.strip())
        elif words[0] == "done":
            self.say("hand_over", id="@hand-over", light="daylight", distance_mm=600, months=24)

    def do_claim(self, words):
        options = dict(word.split("=", 1) for word in words[2:])
        name = "@claim-" + words[0]
        again = name in self.marks
        self.marks[name] = name
        self.say("claim", id=None if again else name, claim=name if again else None,
                 about=None if again else self.zone_id(words[0]), complaint=words[1],
                 decision=options.get("decision", "open"), finding=options.get("finding"))

    def do_then(self, words):
        self.n_expectations += 1
        claim = next(c for c in self.status()["claims"] if c["zone"] == words[0])
        wanted = int(words[1].removeprefix("open="))
        if claim["then"] is None or claim["then"]["n_open_marks"] != wanted:
            self.fail(f"{words[0]} then: {claim['then']}")

    def do_closed(self, words):
        self.n_expectations += 1
        over = self.status()["handed_over"]
        if (over is not None and over["is_closed"]) != (words[0] == "yes"):
            self.fail(f"closed is not {words[0]}")

    def do_waits(self, words):
        self.waiting.append((self.step, words[0], words[1]))

    def play(self, path):
        with open(path, encoding="utf-8") as file:
            for number, line in enumerate(file, 1):
                words = shlex.split(line, comments=True)
                if not words:
                    continue
                try:
                    getattr(self, "do_" + words[0].replace("-", "_"))(words[1:])
                except Fault as fault:
                    raise Fault(f"{os.path.basename(path)}:{number}: {fault}") from fault
                except (KeyError, AttributeError, ValueError, IndexError) as fault:
                    raise Fault(f"{os.path.basename(path)}:{number}: cannot be read: {fault!r}") from fault
        self.flush()
        done = subprocess.run([self.program, "verify", self.job_path], capture_output=True, check=False)
        if done.returncode != 0:
            self.fail("the job does not verify: " + done.stderr.decode().strip())


def main():
    arguments = [a for a in sys.argv[1:] if not a.startswith("--")]
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_STATE_HOME"] = os.environ["XDG_CONFIG_HOME"] = folder
        os.environ["LC_ALL"] = "C.UTF-8"
        scenario = Scenario(arguments[0], folder)
        try:
            scenario.play(arguments[1])
        except Fault as fault:
            print(fault)
            return 1
        for failure in scenario.failures:
            print("FAILED", failure)
        for step, matter, what in scenario.waiting:
            print(f"waits for {matter}: {step}: {what}")
        print(f"{scenario.n_expectations} expectations, {len(scenario.failures)} failed, "
              f"{len(scenario.waiting)} waiting")
        return 1 if scenario.failures or scenario.n_expectations == 0 else 0


sys.exit(main())
