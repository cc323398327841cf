#!/usr/bin/python3
"""What rakelight-cli promises: its answers, its exit codes, its refusals.

test_cli.py RAKELIGHT-CLI SOURCE-ROOT
"""

import base64
import contextlib
import datetime
import glob
import hashlib
import json
import os
import re
import resource
import shutil
import signal
import sqlite3
import struct
import subprocess
import sys
import tempfile
import unittest
import zlib

from PIL import Image

PROGRAM = SOURCE = ""
DONE, NO, USAGE, FILE, INPUT, OUTPUT = range(6)

FACE = ('{"kind":"face","id":"@f","name":"Front",'
        '"outline":"POLYGON ((0 0, 100 0, 100 80, 0 80, 0 0))"}')
PLAN = '{"kind":"schedule","face":"@f","stages":[{"id":"@p8","action":"level","grade":"P800"}]}'


def digest(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


class Case(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)
        self.environment = dict(os.environ, XDG_STATE_HOME=self.folder,
                                XDG_CONFIG_HOME=self.folder, LC_ALL="C.UTF-8", LANGUAGE="en")

    def path(self, name):
        return os.path.join(self.folder, name)

    def run_cli(self, *arguments, code=DONE, text=None):
        done = subprocess.run([PROGRAM, *arguments], input=(text or "").encode(),
                              capture_output=True, env=self.environment, check=False)
        self.assertEqual(done.returncode, code,
                         f"{arguments}: {done.stdout.decode()} {done.stderr.decode()}")
        if code in (USAGE, FILE, INPUT, OUTPUT):
            said = done.stderr.decode().strip().splitlines()
            self.assertEqual(len(said), 1, f"one sentence, not {said}")
            self.assertTrue(said[0].startswith("rakelight-cli: "), said)
        return done.stdout.decode() if code == DONE else done.stderr.decode()

    def new_job(self, name="a.rakejob", *options):
        path = self.path(name)
        self.run_cli("new", path, "--finish", "shellac", "--outline", "lid", "--size", "300x200",
                     "--last-coat", "2026-01-01T00:00:00Z", *options)
        return path

    def status(self, path, *options):
        return json.loads(self.run_cli("status", "--json", path, *options))


class Help(Case):
    def test_every_command_explains_itself_and_stands_in_manual_and_completion(self):
        overview = self.run_cli("--help")
        commands = re.findall(r"^  ([a-z-]+) ", overview, re.M)
        self.assertGreaterEqual(len(commands), 7)
        with open(os.path.join(SOURCE, "data/man/rakelight-cli.1"), encoding="utf-8") as file:
            manual = file.read().replace("\\-", "-")
        with open(os.path.join(SOURCE, "data/completions/rakelight-cli"), encoding="utf-8") as file:
            completion = file.read()
        for command in commands:
            text = self.run_cli(command, "--help")
            self.assertIn(f'.BI "{command} ', manual)
            for option in re.findall(r"--[a-z][a-z-]+", text):
                if option == "--help":
                    continue
                self.assertIn(option, completion, f"{command} {option} is not completed")
                if option != "--json":
                    self.assertIn(option.replace("--output", "-o"), manual,
                                  f"{command} {option} is not in the manual")

    def test_what_cannot_be_understood_is_a_usage_error(self):
        for arguments in (["polish"], ["status"], ["status", "--nonsense", "x"], ["map", "only-one"],
                          ["status", "--now", "yesterday", "x"], ["new", "--finish", "chrome", "x"],
                          ["new", "--size", "wide", "x"], ["new", "--schedule", "800", "x"]):
            self.run_cli(*arguments, code=USAGE)


class Photos(Case):
    """A job with one picture in it, 160 by 120, that says where and when it was taken."""

    def setUp(self):
        super().setUp()
        self.job = self.new_job("box.rakejob")
        self.picture = self.path("p.jpg")
        Image.effect_noise((160, 120), 60).convert("RGB").save(self.picture, quality=90)
        subprocess.run(["exiftool", "-q", "-n", "-overwrite_original", "-Orientation=6",
                        "-DateTimeOriginal=2026:03:02 14:05:09", "-OffsetTimeOriginal=+01:00",
                        "-GPSLatitude=48.5", "-GPSLatitudeRef=N", self.picture], check=True)
        with open(self.picture, "rb") as file:
            self.bytes = file.read()

    def add(self, *options):
        return json.loads(self.run_cli("photo", "add", self.job, self.picture, "--json", *options))[0]

    def run_photo(self, *arguments, **more):
        """With what it tells besides its answer."""
        return subprocess.run([PROGRAM, "photo", *arguments], capture_output=True, text=True,
                              env=self.environment, check=False, **more)

    def add_another(self, *options):
        """The same picture to the eye, and other bytes: what follows a JPEG's end is passed over."""
        with open(self.picture, "ab") as file:
            file.write(b"\0")
        return self.add(*options)

    def list(self, *options):
        return json.loads(self.run_cli("photo", "list", self.job, "--json", *options))

    def test_a_picture_is_added_placed_listed_and_got_back(self):
        face = self.status(self.job)["faces"][0]
        photo = self.add("--face", face["name"], "--zone", face["zones"][0]["name"], "--view", "door")
        self.assertEqual((photo["turn"], photo["bytes"], photo["width_px"]), (6, "kept", 160))
        self.assertEqual(photo["sha256"], hashlib.sha256(self.bytes).hexdigest())
        self.assertEqual(self.list("--zone", face["zones"][0]["name"]), [photo])
        whole = self.run_cli("photo", "get", self.job, "--with-location", "-o", self.folder).strip()
        with open(whole, "rb") as file:
            self.assertEqual(file.read(), self.bytes)
        self.assertTrue(os.path.basename(whole).endswith("-2026-03-02-1.jpg"), whole)
        self.run_cli("photo", "get", self.job, "1", "-o", self.folder, code=OUTPUT)
        os.mkdir(self.path("out"))
        plain = self.run_cli("photo", "get", self.job, "1", "-o", self.path("out")).strip()
        with Image.open(plain) as one, Image.open(self.picture) as other:
            self.assertEqual(dict(one.getexif()), {0x0112: 6})
            self.assertEqual(one.tobytes(), other.tobytes())

    def test_time_is_kept_in_utc(self):
        self.add()
        exported = [json.loads(line) for line in self.run_cli("export", self.job).splitlines()]
        photo = next(entry for entry in exported if entry["kind"] == "photo")
        happened = datetime.datetime.fromisoformat(photo["happened"])
        self.assertEqual(happened.astimezone(datetime.timezone.utc).isoformat(),
                         "2026-03-02T13:05:09+00:00")
        self.assertEqual((photo["time_from"], photo["offset_minutes"], photo["is_offset_assumed"]),
                         ("exif", 60, "no"))

    def test_a_photograph_is_laid_on_its_face(self):
        face = self.status(self.job)["faces"][0]["name"]
        self.add("--face", face, "--view", "door")
        pairs = self.path("pairs")
        with open(pairs, "w", encoding="utf-8") as file:
            file.write("10 10 0 0\n150 12 300 0\n148 110 300 200\n\n12 108 0 200\n80.2 59.8 150 100\n")
        photo = json.loads(self.run_cli("photo", "register", self.job, "1", "--pairs", pairs, "--json"))
        self.assertEqual(photo["registration"]["n_pairs"], 5)
        self.assertLess(photo["registration"]["rms_mm"], 5)
        self.add_another("--face", face, "--view", "door")
        self.run_cli("photo", "register", self.job, "2", "--same-view")
        self.add_another("--face", face, "--view", "window")
        self.run_cli("photo", "register", self.job, "3", "--same-view", code=INPUT)
        with open(pairs, "w", encoding="utf-8") as file:
            file.write("10 10 0 0\n150 12 300\n")
        self.assertIn("line 2", self.run_cli("photo", "register", self.job, "1", "--pairs", pairs,
                                             code=INPUT))
        self.run_cli("photo", "register", self.job, "1", code=USAGE)
        self.run_cli("verify", self.job)

    def test_a_photograph_is_placed_anew(self):
        self.add("--no-guess")
        faces = [entry for entry in map(json.loads, self.run_cli("export", self.job).splitlines())
                 if entry["kind"] == "face"]
        name = faces[0]["name"]

        def place(*options, code=DONE):
            said = self.run_cli("photo", "place", self.job, "1", "--json", *options, code=code)
            return json.loads(said) if code == DONE else said

        self.assertIsNone(self.list()[0]["face"])
        self.assertIn("--face", place("--stage", "P800", code=INPUT))
        placed = place("--face", name, "--lamp", "30", "--view", "door", "--note", "before the wash")
        self.assertEqual((placed["face"], placed["lamp_deg"], placed["view"]), (name, 30, "door"))
        self.assertEqual(place("--lamp", "45")["face"], name)
        placed = place("--nowhere", "--view", "")
        self.assertEqual((placed["face"], placed["view"], placed["lamp_deg"]), (None, None, 45))
        self.assertEqual(len(self.list()), 1)
        place("--nowhere", "--face", name, code=USAGE)
        place("--look", "--no-look", code=USAGE)
        place("--lamp", "400", code=INPUT)
        self.run_cli("photo", "place", self.job, "7", code=INPUT)

    def test_what_was_done_with_a_photograph_is_told_in_json(self):
        self.add()
        got, = json.loads(self.run_cli("photo", "get", self.job, "--json", "-o", self.folder))
        self.assertTrue(os.path.getsize(got["file"]) > 0 and got["photo"] == self.list()[0])
        said = json.loads(self.run_cli("photo", "withdraw", self.job, "1", "-r", "no", "--json"))
        self.assertEqual((said["bytes"], said["number"]), ("withdrawn", 1))
        self.assertEqual(json.loads(self.run_cli("photo", "get", self.job, "--json")), [])

    def test_a_withdrawn_photograph_is_gone(self):
        self.add()
        self.run_cli("photo", "withdraw", self.job, "1", code=USAGE)
        self.run_cli("photo", "withdraw", self.job, "1", "--reason", "shows a person")
        self.assertEqual(self.list()[0]["bytes"], "withdrawn")
        self.run_cli("photo", "get", self.job, "1", "-o", self.folder, code=INPUT)
        self.run_cli("photo", "add", self.job, self.picture, code=INPUT)
        with open(self.job, "rb") as file:
            self.assertNotIn(self.bytes[-300:-100], file.read())
        self.run_cli("verify", self.job)

    def test_a_picture_that_is_there_is_passed_over_and_said_to_be(self):
        first = self.add("--note", "the first")
        again = self.path("again.jpg")
        shutil.copy(self.picture, again)
        other = self.path("other.png")
        Image.new("RGB", (16, 12)).save(other)
        run = self.run_photo("add", self.job, again, other, again, "--note", "anew", "--json")
        self.assertEqual(run.returncode, DONE)
        self.assertEqual(run.stderr.count("“again.jpg” is in this job already, as photograph 1"), 2)
        self.assertEqual([photo["number"] for photo in json.loads(run.stdout)], [1, 2, 1])
        self.assertEqual(json.loads(run.stdout)[0], first)
        self.assertEqual(len(self.list()), 2)
        self.assertIn("0 photographs", self.run_cli("photo", "add", self.job, again))

    def test_one_picture_of_two_faces_is_withdrawn_once_or_everywhere(self):
        first = self.add()
        # As the window writes it where one photograph serves to draw two outlines.
        lines = [json.loads(line) for line in self.run_cli("export", self.job).splitlines()]
        entry = next(line for line in lines if line["kind"] == "photo")
        draft = {name: entry[name] for name in entry
                 if name not in ("bench", "number", "previous", "hash", "gesture", "written")}
        self.run_cli("import", self.job, text=json.dumps({**draft, "id": "@second"}) + "\n")
        self.assertEqual([photo["sha256"] for photo in self.list()], 2 * [first["sha256"]])
        run = self.run_photo("withdraw", self.job, "1", "-r", "twice")
        self.assertIn("stays in the job as photograph 2", run.stderr)
        self.assertEqual(sorted(photo["bytes"] for photo in self.list()), ["kept", "withdrawn"])
        self.run_cli("photo", "get", self.job, "1", "-o", self.folder, code=INPUT)
        self.run_cli("photo", "get", self.job, "1", "--working", "-o", self.folder, code=INPUT)
        got = self.run_cli("photo", "get", self.job, "--with-location", "-o", self.folder).strip()
        with open(got, "rb") as file:
            self.assertEqual(file.read(), self.bytes)
        self.run_cli("verify", self.job)
        exported = self.run_cli("export", self.job, "--photos", self.path("photos"), "--with-location")
        self.run_cli("import", self.path("b.rakejob"), "--photos", self.path("photos"), text=exported)
        self.run_cli("verify", self.path("b.rakejob"))
        for job in (self.job, self.path("b.rakejob")):
            with open(job, "rb") as file:
                self.assertIn(self.bytes[-300:-100], file.read())
            self.run_cli("photo", "withdraw", job, "2", "-r", "shows a person", "--everywhere")
            with open(job, "rb") as file:
                self.assertNotIn(self.bytes[-300:-100], file.read())
            self.run_cli("verify", job)

    def test_a_full_disk_keeps_no_photograph(self):
        """A limit on the size of files stands in for a full disk: writes fail in the same place."""
        before = self.run_cli("export", self.job)
        wide = self.path("wide.jpg")
        Image.effect_noise((900, 900), 90).convert("RGB").save(wide, quality=95)

        def fill():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            size = os.path.getsize(self.job) + 20000
            resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

        for part, code in ((["add", self.job, wide, "--json"], OUTPUT), (["add", self.job, self.picture], DONE)):
            run = self.run_photo(*part, preexec_fn=fill if code else None)
            self.assertEqual(run.returncode, code, run.stderr)
            if code:
                self.assertEqual(run.stdout, "")
                self.assertRegex(run.stderr, "(?i)disk|space|full")
                self.assertEqual(self.run_cli("export", self.job), before)
                self.assertEqual(self.list(), [])
                self.run_cli("verify", self.job)
        self.assertEqual(self.list()[0]["bytes"], "kept")

    def test_where_it_was_taken_leaves_with_nothing_unasked(self):
        subprocess.run(["exiftool", "-q", "-overwrite_original", "-Artist=ZZARTIST", "-XMP:City=ZZCITY",
                        "-IPTC:City=ZZPLACE", "-Comment=ZZCOMMENT", self.picture], check=True)
        self.add("--face", self.status(self.job)["faces"][0]["name"])
        for name in ("plain", "working", "whole"):
            os.mkdir(self.path(name))
        self.run_cli("photo", "get", self.job, "-o", self.path("plain"))
        self.run_cli("photo", "get", self.job, "--working", "-o", self.path("working"))
        self.run_cli("photo", "sheet", self.job, "-o", self.path("sheet.pdf"))
        self.run_cli("export", self.job, "-o", self.path("export.jsonl"))
        for size in ("small", "original"):
            self.run_cli("report", self.job, "--photos", size, "-o", self.path(f"{size}.pdf"))
        self.run_cli("photo", "get", self.job, "--with-location", "-o", self.path("whole"))

        def is_told(path):
            with open(path, "rb") as file:
                told = file.read()
            # A PDF has JPEGs as they are; what else is packed in it is unpacked here.
            for stream in re.findall(rb"stream\r?\n(.*?)endstream", told, re.S):
                with contextlib.suppress(zlib.error):
                    told += zlib.decompress(stream)
            return [word for word in (b"Exif\0\0", b"GPS", b"ZZARTIST", b"ZZCITY", b"ZZPLACE", b"ZZCOMMENT")
                    if word in told]

        whole, = glob.glob(self.path("whole/*.jpg"))
        self.assertEqual(len(is_told(whole)), 5, "the needles are there to be found")
        plain, = glob.glob(self.path("plain/*.jpg"))
        with Image.open(plain) as one:
            self.assertEqual(dict(one.getexif()), {0x0112: 6})   # how it is turned, and nothing else
        self.assertEqual(is_told(plain), [b"Exif\0\0"])
        working, = glob.glob(self.path("working/*.jpg"))
        for path in (working, *map(self.path, ("sheet.pdf", "export.jsonl", "small.pdf", "original.pdf"))):
            self.assertTrue(os.path.getsize(path) > 1000)
            self.assertEqual(is_told(path), [], path)

    def test_photographs_go_with_an_export(self):
        self.add()
        # the picture tells where it was taken
        said = self.run_cli("export", self.job, "--photos", self.path("photos"), code=INPUT)
        self.assertIn("--with-location", said)
        self.assertEqual(os.listdir(self.path("photos")), [])
        exported = self.run_cli("export", self.job, "--photos", self.path("photos"),
                                "--with-location")
        self.run_cli("import", self.path("b.rakejob"), "--photos", self.path("photos"), text=exported)
        self.run_cli("verify", self.path("b.rakejob"))
        self.run_cli("import", self.path("c.rakejob"), "--photos", self.folder, code=INPUT,
                     text=exported)
        self.assertFalse(os.path.exists(self.path("c.rakejob")))
        self.run_cli("import", self.path("c.rakejob"), text=exported)
        self.run_cli("verify", self.path("c.rakejob"), code=NO)

    def test_what_is_no_picture_is_refused_and_nothing_is_kept(self):
        before = self.run_cli("export", self.job)
        text, cut, large = self.path("t.jpg"), self.path("cut.jpg"), self.path("large.png")
        with open(text, "w", encoding="utf-8") as file:
            file.write("only called a picture\n")
        with open(cut, "wb") as file:
            file.write(self.bytes[:-40])
        with open(large, "wb") as file:  # 40 000 by 40 000 in a few bytes
            head = b"IHDR" + struct.pack(">IIBBBBB", 40000, 40000, 8, 2, 0, 0, 0)
            file.write(b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head
                       + struct.pack(">I", zlib.crc32(head)))
        with open(self.path("h.heic"), "wb") as file:
            file.write(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")
        for name in ("t.jpg", "cut.jpg", "large.png", "h.heic", "not-there.jpg", ""):
            said = self.run_cli("photo", "add", self.job, self.path(name), code=INPUT)
            self.assertIn(name, said)
        self.assertEqual(self.run_cli("export", self.job), before)


class New(Case):
    def test_a_new_job_has_zones_that_tile_and_a_schedule(self):
        path = self.new_job("n.rakejob", "--band", "8", "--grid", "2x2", "--schedule",
                            "P800, P1200, last look, cut", "--coats", "3")
        face = self.status(path)["faces"][0]
        self.assertEqual(len(face["zones"]), 5)
        self.assertAlmostEqual(sum(zone["area_mm2"] for zone in face["zones"]), face["area_mm2"],
                               delta=1)
        edge = next(zone for zone in face["zones"] if zone["is_edge"])
        self.assertIsNone(edge["verdict"], "an edge starts a grit later")
        self.assertEqual(face["stage"]["grade"], "P800")
        self.run_cli("verify", path)

    def test_a_file_that_is_there_is_never_touched(self):
        path = self.new_job()
        before = digest(path)
        self.run_cli("new", path, code=FILE)
        self.assertEqual(digest(path), before)

    def test_an_outline_comes_from_a_drawing(self):
        drawing = self.path("d.svg")
        with open(drawing, "w", encoding="utf-8") as file:
            file.write('<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" '
                       'viewBox="0 0 200 100"><path d="M10 10h180v80h-180z"/></svg>')
        path = self.path("s.rakejob")
        self.run_cli("new", path, "--svg", drawing)
        self.assertAlmostEqual(self.status(path)["faces"][0]["area_mm2"], 14400, delta=0.1)
        with open(drawing, "w", encoding="utf-8") as file:
            file.write("no drawing at all")
        self.run_cli("new", self.path("t.rakejob"), "--svg", drawing, code=INPUT)
        self.assertFalse(os.path.exists(self.path("t.rakejob")))


class Sums(Case):
    def ask(self, *arguments, code=DONE):
        done = subprocess.run([PROGRAM, *arguments, "--json"], capture_output=True, check=False,
                              env=self.environment)
        self.assertEqual(done.returncode, code, done.stderr.decode())
        return json.loads(done.stdout)

    def refuse(self, says, *arguments, code=INPUT):
        self.assertIn(says, self.run_cli(*arguments, code=code))

    def test_a_grade_has_its_grain_and_its_like(self):
        told = self.ask("grade", "p 800")
        self.assertEqual((told["grade"], told["d50_um"], told["standing"]), ("P800", 21.8, "read"))
        self.assertEqual([like["grade"] for like in told["nearest"]], ["CAMI 400", "#600", "20 µm"])
        told = self.ask("grade", "400 CAMI", "--to", "p")
        self.assertEqual([like["grade"] for like in told["nearest"]], ["P800"])
        self.assertEqual(self.ask("grade", "400", "cami")["grade"], "CAMI 400")
        self.assertEqual(len(self.ask("grade", "--list")), 76)
        self.assertIn("CAMI 400", self.run_cli("grade", "P800"))
        self.assertIn("about 6.5", self.run_cli("grade", "--list"))
        self.refuse("P800, 800 CAMI or #800", "grade", "800")
        self.refuse("P800 and P1000", "grade", "P900")
        self.refuse("not written like a grade", "grade", "cut")
        self.refuse("P, CAMI, JIS, micron", "grade", "P800", "--to", "grit", code=USAGE)
        self.refuse("--list", "grade", code=USAGE)

    def test_a_film_is_what_the_coat_leaves(self):
        # 90 µm · 0.28 / 1.2, by hand
        told = self.ask("film", "--wet", "90", "--solids", "28%", "--thinner", "20 %", "--coats", "3")
        self.assertAlmostEqual(told["dry_um"], 21, places=12)
        self.assertAlmostEqual(told["film_um"], 63, places=12)
        # docs/checks.md, "Film from mass"
        told = self.ask("film", "--mass", "250", "--density", "0,95", "--solids", "22",
                        "--transfer", "60%", "--area", "0.42")
        self.assertAlmostEqual(told["dry_um"], 82.70676691729324, places=10)
        # 8 mil of 35 % are 2.8 mil
        told = self.ask("film", "--wet", "8 mil", "--solids", "35%")
        self.assertAlmostEqual(told["dry_um"], 2.8 * 25.4, places=10)
        self.assertIn("21.0\u00a0±\u00a0", self.run_cli("film", "--wet", "90", "--solids", "28", "--thinner", "20"))
        self.refuse("solids of only 0.3 %", "film", "--wet", "90", "--solids", "0.3")
        self.refuse("Solids of -28 %", "film", "--wet", "90", "--solids=-28%")
        self.refuse("140 %", "film", "--mass", "250", "--density", "0.95", "--solids", "22%",
                    "--transfer", "140%", "--area", "0.42")
        self.refuse("3000000 µm", "film", "--wet", "3 m", "--solids", "28%")
        self.refuse("--wet", "film", "--wet", "nan", "--solids", "28%")
        self.refuse("solids are missing", "film", "--wet", "90")
        self.refuse("wet or dry", "film")
        self.refuse("--coats", "film", "--wet", "90", "--solids", "28", "--coats", "0")

    def test_readings_are_held_to_the_nominal_film(self):
        told = self.ask("film", "--nominal", "100", "--readings",
                        "102,98,105,110,105,101,100,120,103,104")
        self.assertTrue(told["passes"])
        self.assertAlmostEqual(told["mean_um"], 104.8, places=10)
        told = self.ask("film", "--nominal", "100", "--readings",
                        "102;98;105;110;105;101;79;120;103;104", code=NO)
        self.assertTrue(told["one_is_low"] and not told["share_is_low"])
        told = self.ask("film", "--nominal", "120", "--readings", "142,150,147,139,152")
        self.assertAlmostEqual(told["tolerance_limit_um"], 123.17360081656977, places=9)
        self.assertIn("They pass", self.run_cli("film", "--nominal", "120", "--readings", "142"))
        self.refuse("--nominal", "film", "--readings", "102", code=USAGE)
        self.refuse("--readings", "film", "--readings", "102,x", "--nominal", "100")

    def test_a_wheel_has_its_speed(self):
        told = self.ask("wheel", "--diameter", "300mm", "--motor", "1425", "--pulleys", "63,125",
                        "--finish", "nitrocellulose")
        self.assertAlmostEqual(told["rpm"], 718.2, places=9)
        self.assertAlmostEqual(told["surface_m_per_s"], 11.28146, places=5)
        self.assertEqual(told["speed"], "in range")
        told = self.ask("wheel", "--diameter", "14 in", "--motor", "1725", "--pulleys", "100:172,5")
        self.assertAlmostEqual(told["surface_ft_per_min"], 3665, delta=0.5)
        self.assertEqual(told["speed"], "fast")
        told = self.ask("wheel", "--diameter", "350", "--motor", "900", "--rated", "800", code=NO)
        self.assertEqual(told["speed"], "over rated")
        self.assertIn("11.3 m/s", self.run_cli("wheel", "--diameter", "300", "--motor", "718.2"))
        self.refuse("--diameter", "wheel", "--motor", "1425", code=USAGE)
        self.refuse("--diameter", "wheel", "--diameter", "0", "--motor", "1425")
        self.refuse("63,125", "wheel", "--diameter", "300", "--motor", "1425", "--pulleys", "63")
        self.refuse("shellac", "wheel", "--diameter", "300", "--motor", "1425", "--finish", "tar",
                    code=USAGE)

    def test_a_jobs_wheels_and_gloss_are_told(self):
        path = self.new_job("w.rakejob", "--schedule", "P1000, last look, cut, fine")
        self.assertEqual(self.ask("wheel", path), [])
        self.assertIn("No gloss", self.run_cli("gloss", path))
        zone = self.status(path)["faces"][0]["zones"][0]["id"]
        lines = [{"kind": "wheel", "id": "@w", "name": "Soft", "compound": "cut",
                  "carried_other": "no", "diameter_mm": 300, "motor_rpm": 718.2}]
        lines += [{"kind": "reading", "zone": zone, "quantity": "gloss gu", "value": gu, "angle_deg": 60}
                  for gu in (57, 56, 55)]
        self.run_cli("import", path, text="".join(json.dumps(line) + "\n" for line in lines))
        wheel, = self.ask("wheel", path)
        self.assertEqual((wheel["name"], wheel["compound"], wheel["is_mixed"], wheel["wants_check"]),
                         ("Soft", "cut", "no", True))
        self.assertIn("Soft: carries cut", self.run_cli("wheel", path))
        face, = self.ask("gloss", path)
        self.assertEqual((face["zones"][0]["mean_gu"], face["advised_angle_deg"]), (56, 60))
        self.assertIn("56 GU of 3 readings at 60°", self.run_cli("gloss", path))

    def test_gloss_readings_choose_their_angle(self):
        told = self.ask("gloss", "--readings", "57,56,55")
        self.assertEqual((told["mean_gu"], told["advised_angle_deg"]), (56, 60))
        self.assertEqual(self.ask("gloss", "--readings", "84;86,5")["advised_angle_deg"], 20)
        self.assertIn("at 85°", self.run_cli("gloss", "--readings", "9"))
        self.refuse("--readings", "gloss", code=USAGE)
        self.refuse("--readings", "gloss", "--readings", "57,,55")


class Exchange(Case):
    def test_exported_and_imported_again_it_has_the_same_seal(self):
        path = self.new_job("a.rakejob", "--band", "8")
        exported = self.run_cli("export", path)
        self.run_cli("import", self.path("b.rakejob"), text=exported)
        seals = [json.loads(self.run_cli("verify", "--json", p))["seal"]
                 for p in (path, self.path("b.rakejob"))]
        self.assertEqual(*seals)
        self.assertEqual(self.run_cli("export", self.path("b.rakejob")), exported)
        self.run_cli("verify", path, "--seal", seals[0])
        self.run_cli("verify", path, "--seal", "0" * 64, code=NO)
        self.assertEqual(json.loads(self.run_cli("import", "--json", path, text=exported)),
                         {"entries_added": 0})

    def test_the_pages_examples_are_a_job_that_imports(self):
        with open(os.path.join(SOURCE, "docs/entries.md"), encoding="utf-8") as file:
            lines = [line.strip() for line in file if line.startswith('    {"kind"')
                     and '"previous"' not in line]
        kinds = {json.loads(line)["kind"] for line in lines}
        with open(os.path.join(SOURCE, "include/rakelight/entry.h"), encoding="utf-8") as file:
            known = re.findall(r"^  RAKE_ENTRY_(?!ERROR)[A-Z_]+(?: = 1)?,", file.read(), re.M)
        self.assertEqual(len(kinds), len(known), "every kind has its example")
        path = self.path("page.rakejob")
        with open(os.path.join(SOURCE, "docs/entries.md"), encoding="utf-8") as file:
            photo = base64.b64decode(re.search(r"^    base64 (\S+)$", file.read(), re.M).group(1))
        with open(self.path(hashlib.sha256(photo).hexdigest() + ".png"), "wb") as file:
            file.write(photo)
        self.run_cli("import", path, "--photos", self.folder, text="\n".join(lines) + "\n")
        self.assertGreater(len(self.status(path)["faces"][0]["zones"]), 0)
        self.run_cli("verify", path)

    def test_a_wrong_line_is_named_and_nothing_is_written(self):
        wrong = [
            ("not json", "line 3"),
            ('{"kind":"polish"}', "polish"),
            ('{"kind":"look","zone":"@f","surface":"dry","light":"lamp","lamp_deg":400}', "lamp_deg"),
            ('{"kind":"look","zone":"@f","surface":"dry","light":"lamp","lamp":4}', "lamp"),
            ('{"kind":"look","zone":"@nowhere","surface":"dry","light":"lamp"}', "line 3"),
            ('{"kind":"look","zone":"@f","surface":"shiny","light":"lamp"}', "surface"),
            ('{"kind":"look","zone":"@f","zone":"@f","surface":"dry","light":"lamp"}', "line 3"),
            ('{"kind":"look","surface":"dry","light":"lamp"}', "zone"),
            ('{"kind":"look","zone":7,"surface":"dry","light":"lamp"}', "zone"),
            ('{"kind":"pass","stage":"@p8","zones":[]}', "zones"),
            ('{"kind":"face","name":"B","outline":"POLYGON ((0 0, 1e999 0, 1 1, 0 0))"}', "outline"),
            ('{"kind":"note","text":"x","written":"soon"}', "written"),
        ]
        for line, names in wrong:
            path = self.path("wrong.rakejob")
            said = self.run_cli("import", path, text=f"{FACE}\n{PLAN}\n{line}\n", code=INPUT)
            self.assertIn("line 3", said)
            self.assertIn(names, said)
            self.assertFalse(os.path.exists(path), "a refused import leaves nothing")
        path = self.new_job("kept.rakejob")
        seal = json.loads(self.run_cli("verify", "--json", path))["seal"]
        self.run_cli("import", path, text=f"{FACE}\n{PLAN}\nbroken\n", code=INPUT)
        self.assertEqual(json.loads(self.run_cli("verify", "--json", path))["seal"], seal)

    def test_a_changed_word_in_a_sealed_line_is_refused(self):
        exported = self.run_cli("export", self.new_job())
        said = self.run_cli("import", self.path("c.rakejob"),
                            text=exported.replace("Front", "Fronk", 1), code=INPUT)
        self.assertIn("line 3", said)

    def test_two_copies_come_together_either_way_round(self):
        path = self.new_job("one.rakejob")
        other = self.path("two.rakejob")
        shutil.copy(path, other)
        zone = self.status(path)["faces"][0]["zones"][0]["id"]
        look = '{"kind":"look","zone":"%s","surface":"dry","light":"lamp","lamp_deg":%d}\n'
        self.run_cli("import", path, text=look % (zone, 10))
        self.environment["XDG_STATE_HOME"] = self.path("elsewhere")
        self.run_cli("import", other, text=look % (zone, 20))
        both, again = self.path("both.rakejob"), self.path("again.rakejob")
        shutil.copy(path, both)
        shutil.copy(other, again)
        self.run_cli("merge", both, other)
        self.run_cli("merge", again, path)
        self.assertEqual(self.status(both)["seal"], self.status(again)["seal"])
        self.assertEqual(self.status(both)["n_entries"], self.status(path)["n_entries"] + 1)


class Status(Case):
    def test_a_reason_names_its_rule_and_sentence_and_what_clears_it(self):
        zone = self.status(self.new_job(), "--now", "2026-03-01T00:00:00Z")["faces"][0]["zones"][0]
        self.assertEqual(zone["verdict"], "look again")
        for key in ("rule", "trace", "matter", "verdict", "sentence", "clears"):
            self.assertTrue(zone["reasons"][0][key], key)

    def test_before_the_cure_it_waits_and_the_time_is_the_one_given(self):
        path = self.new_job()
        self.assertEqual(
            self.status(path, "--now", "2026-01-05T00:00:00Z")["faces"][0]["zones"][0]["verdict"],
            "wait")

    def test_a_shop_sets_its_own_limit_and_an_old_job_keeps_its_rules(self):
        path = self.new_job("r.rakejob", "--schedule", "P800, P1200")
        face = self.status(path)["faces"][0]
        zone, stage = face["zones"][0]["id"], face["stage"]["id"]
        self.run_cli("import", path, text="\n".join([
            '{"kind":"pass","stage":"%s","zones":["%s"],"stroke_deg":0}' % (stage, zone),
            '{"kind":"look","id":"@l","zone":"%s","surface":"dry","wiped_with":"dry cloth",'
            '"light":"lamp","lamp_deg":90}' % zone,
            '{"kind":"state","look":"@l","state":"low spot","low_spot_fraction":0.08,'
            '"largest_island_mm":4}']) + "\n")
        shop = self.path("shop.rules")
        with open(shop, "w", encoding="utf-8") as file:
            file.write("let level_low_spot_fraction = 5 %\n")
        verdict = lambda *options: self.status(path, *options)["faces"][0]["zones"][0]["verdict"]
        self.assertEqual(verdict(), "ready")
        self.assertEqual(verdict("--rules", shop), "sand again")
        os.makedirs(self.path("rakelight/rules"))
        shutil.copy(shop, self.path("rakelight/rules/10-shop.rules"))
        self.assertEqual(verdict(), "ready", "the job records its own rules")
        self.assertEqual(verdict("--present-rules"), "sand again")
        with open(shop, "w", encoding="utf-8") as file:
            file.write("let level_low_spot_fraction = 5 mm\n")
        self.assertRegex(self.run_cli("status", path, "--rules", shop, code=INPUT),
                         r"shop\.rules:1:\d+")


class Plan(Case):
    ALONE = ("plan", "--grades", "P800,P1000,P1200,P1500,P2000", "--film", "100", "--film-sd", "12",
             "--reserve", "40", "--texture", "usual", "--buffing", "wheel", "--area", "0,1")

    def plan(self, *arguments):
        return json.loads(self.run_cli(*arguments, "--json"))

    def new_levelled_job(self):
        path = self.new_job("p.rakejob", "--schedule", "P800, P1200, P1500, last look, cut, fine")
        face = self.status(path)["faces"][0]
        zone, stage = face["zones"][0]["id"], face["stage"]["id"]
        lines = ['{"kind":"reading","zone":"%s","quantity":"film um","value":100,"sd":8}' % zone]
        for share in (0.95, 0.85):
            lines += ['{"kind":"pass","stage":"%s","zones":["%s"],"stroke_deg":0}' % (stage, zone),
                      '{"kind":"look","id":"@l%d","zone":"%s","surface":"dry","wiped_with":"dry cloth",'
                      '"light":"lamp","lamp_deg":90}' % (share * 100, zone),
                      '{"kind":"state","look":"@l%d","state":"low spot","low_spot_fraction":%g,'
                      '"largest_island_mm":4}' % (share * 100, share)]
        self.run_cli("import", path, text="\n".join(lines) + "\n")
        return path

    def test_every_schedule_says_why_it_loses_and_one_is_recommended(self):
        answer = self.plan(*self.ALONE)
        best = answer["plans"][answer["recommended"]]
        self.assertEqual([step["grade"] for step in best["steps"]], ["P800", "P1500"])
        self.assertEqual(best["standing"], "recommended")
        self.assertAlmostEqual(sum(step["taken_um"] for step in best["steps"]) + best["buff_um"],
                               best["film_um"], places=6)
        self.assertIn("→ 6 × P800, 5 × P1500", self.run_cli(*self.ALONE))

    def test_no_schedule_is_a_no_that_says_what_stands_in_the_way(self):
        said = self.run_cli("plan", "--grades", "P800,P1000", "--film", "100", "--buffing", "wheel",
                            code=NO)
        self.assertIn("P1500", said)
        said = self.run_cli("plan", "--grades", "P800,P1500", "--film", "30", "--reserve", "20",
                            "--buffing", "wheel", code=NO)
        self.assertIn("are missing", said)

    def test_wrong_words_and_numbers_are_refused_in_one_sentence(self):
        for wrong in (("--film", "3 m"), ("--film", "nan"), ("--film", "-5"), ("--film-sd", "-1"),
                      ("--reserve", "1e9"), ("--texture", "bumpy"), ("--buffing", "foot"),
                      ("--area", "-1"), ("--area", "0.1 m"), ("--risk", "140 %"),
                      ("--edge-factor", "nan"), ("--grades", "800"), ("--grades", "P805"),
                      ("--grades", ","), ("--grades", "cut")):
            self.run_cli(*self.ALONE, *wrong, code=USAGE)
        self.run_cli("plan", code=USAGE)
        self.assertIn("--film: ", self.run_cli(*self.ALONE, "--film", "nan", code=USAGE))
        self.run_cli("plan", "--grades", "P800", "--film", "100", code=USAGE)
        self.run_cli("plan", self.path("none.rakejob"), code=FILE)

    def test_a_job_is_planned_from_where_it_stands(self):
        path = self.new_levelled_job()
        answer = self.plan("plan", path, "--buffing", "wheel")
        first = answer["plans"][answer["recommended"]]["steps"][0]
        self.assertEqual(first["grade"], "P800")
        self.assertLess(first["n_passes"], 6)
        self.run_cli("plan", path, "--buffing", "wheel", "Rear", code=USAGE)
        self.run_cli("plan", path, code=USAGE)
        unknown = self.new_job("u.rakejob", "--schedule", "P800, P1500")
        self.assertIn(":", self.run_cli("plan", unknown, "--buffing", "wheel", code=NO))

    def test_film_and_status_tell_ledger_and_forecast(self):
        path = self.new_levelled_job()
        zone = json.loads(self.run_cli("film", path, "--json"))["zones"][0]
        self.assertEqual(zone["film"]["ledger"][-1]["kind"], "passes")
        self.assertEqual(zone["film"]["ledger"][-1]["rate"], "assumed")
        self.assertAlmostEqual(zone["film"]["film_um"], 94)
        self.assertEqual(zone["forecast"]["standing"], "says")
        self.assertEqual(self.status(path)["faces"][0]["zones"][0]["forecast"], zone["forecast"])
        said = self.run_cli("film", path, zone["name"])
        self.assertIn("94.0\u00a0±\u00a0", said)
        self.assertIn("passes more", said)
        self.run_cli("film", path, "Rear", code=USAGE)

    def test_readings_of_a_job_are_held_to_its_nominal_film_as_coated(self):
        path = self.new_levelled_job()
        self.assertIsNone(json.loads(self.run_cli("film", path, "--json"))["zones"][0]["nominal"])
        zone = self.status(path)["faces"][0]["zones"][0]
        lines = ['{"kind":"job","name":"Lid","nominal_film_um":95}',
                 '{"kind":"reading","zone":"%s","quantity":"film um","value":70}' % zone["id"]]
        self.run_cli("import", path, text="\n".join(lines) + "\n")
        told = json.loads(self.run_cli("film", path, "--json"))["zones"][0]["nominal"]
        # The second was read after two passes: what was sanded off is not missing.
        self.assertEqual((told["readings"], told["mean_um"], told["passes"]), (1, 100, True))
        self.assertIn("100 µm, passes against a nominal 95 µm", self.run_cli("film", path))


class Record(Case):
    """Defects, the hand-over, claims. Judged long after the entries, so that the rest is over."""

    NOW = "2040-09-01T09:00:00Z"

    def setUp(self):
        super().setUp()
        self.job = self.path("r.rakejob")
        lines = [
            {"kind": "job", "name": "Stool", "shop": "Pell & Ash", "finish": "shellac"},
            json.loads(FACE), json.loads(PLAN),
            {"kind": "look", "id": "@l", "zone": "@f", "surface": "dry", "light": "lamp", "lamp_deg": 90},
            {"kind": "mark", "id": "@m", "look": "@l", "mark": "nib", "shape": "POINT (30 20)"},
        ]
        self.run_cli("import", self.job, text="\n".join(map(json.dumps, lines)))

    def make_ready(self):
        lines = [{"kind": "pass", "stage": "@p8", "zones": ["@f"], "stroke_deg": 0},
                 {"kind": "repair", "zone": "@f", "method": "levelled", "marks": ["@m"]},
                 {"kind": "look", "id": "@l2", "zone": "@f", "surface": "dry", "wiped_with": "dry cloth",
                  "light": "lamp", "lamp_deg": 90},
                 {"kind": "state", "look": "@l2", "state": "uniform"},
                 {"kind": "look", "id": "@l3", "zone": "@f", "surface": "dry", "wiped_with": "dry cloth",
                  "light": "lamp", "lamp_deg": 0},
                 {"kind": "state", "look": "@l3", "state": "uniform"},
                 {"kind": "acceptance", "zone": "@f", "verdict": "stop", "reason": "A stool for the bench.",
                  "matters": ["cure", "looks", "low spots", "film", "first look", "progress"]}]
        self.run_cli("import", self.job, text="\n".join(map(json.dumps, lines)))

    def test_a_defect_is_put_on_record_and_its_story_told(self):
        mark = self.status(self.job)["faces"][0]["zones"][0]["marks"][0]["id"]
        self.run_cli("defect", "add", self.job, "Front", "--mark", mark, "--cause", "dust", "--who", "Ada")
        told = json.loads(self.run_cli("defect", "list", "--json", self.job))["defects"]
        self.assertEqual(len(told), 1)
        self.assertEqual((told[0]["name"], told[0]["standing"], told[0]["from_edge_mm"], told[0]["lamp_deg"]),
                         ("Nib", "open", 20, 90))  # 30, 20 in a face of 100 by 80 mm
        self.run_cli("defect", "tell", self.job, "1", "--standing", "accepted", code=INPUT)
        self.run_cli("defect", "tell", self.job, "1", "--standing", "accepted", "--outcome", "under the seat",
                     "--cost", "3,50 eur")
        told = self.status(self.job)["defects"][0]
        self.assertEqual((told["standing"], told["cause"], told["cost"], told["currency"], len(told["story"])),
                         ("accepted", "dust", 3.5, "EUR", 2))
        self.assertIn("accepted", self.run_cli("export", "--csv", "defects", self.job))
        self.run_cli("defect", "add", self.job, "Nowhere", "--what", "x", code=INPUT)
        self.run_cli("defect", "tell", self.job, "2", code=INPUT)
        self.run_cli("defect", "mend", self.job, code=USAGE)

    def test_an_open_defect_stands_in_the_way_and_a_job_handed_over_is_closed(self):
        self.run_cli("defect", "add", self.job, "Front", "--what", "a dent")
        said = json.loads(subprocess.run(
            [PROGRAM, "hand-over", "--check", "--json", "--now", self.NOW, self.job],
            capture_output=True, env=self.environment, check=False).stdout)
        self.assertFalse(said["is_ready"])
        self.assertTrue(any("a dent" in sentence for sentence in said["obstacles"]), said)
        self.run_cli("claim", "open", self.job, "--complaint", "x", code=INPUT)
        self.run_cli("hand-over", "--now", self.NOW, self.job, code=NO)
        self.assertIsNone(self.status(self.job)["handed_over"])
        self.run_cli("defect", "tell", self.job, "1", "--standing", "left as agreed", "--outcome", "old")
        self.make_ready()
        seal = self.status(self.job)["seal"]
        self.run_cli("hand-over", "--now", self.NOW, "--months", "24", "--light", "window light", self.job)
        over = self.status(self.job)["handed_over"]
        self.assertEqual((over["seal"], over["seal_holds"], over["is_closed"]), (seal, True, True))
        self.assertIn("Pell & Ash", over["terms"])
        self.assertIn("1 September 2040", over["terms"])
        self.assertIn("__________", over["terms"])  # the distance was not said
        self.assertIn("The law where you live", over["terms"])
        text = '{"kind":"pass","stage":"@p8","zones":["@f"]}'
        self.assertIn("closed for work", self.run_cli("import", self.job, text=text, code=INPUT))
        self.run_cli("claim", "open", self.job, "--zone", "Front", "--complaint", "A ring.")
        self.run_cli("import", self.job, text=text)
        self.run_cli("claim", "tell", self.job, "1", "--decision", "not ours", "--finding", "A cup.")
        claim = json.loads(self.run_cli("claim", "list", "--json", self.job))["claims"][0]
        self.assertEqual((claim["is_open"], claim["complaint"], claim["zone"], claim["then"]["n_open_marks"]),
                         (False, "A ring.", "Front", 0))
        self.run_cli("import", self.job, text=text, code=INPUT)
        self.run_cli("verify", self.job)


class Verify(Case):
    def test_what_was_altered_behind_its_back_is_found(self):
        path = self.new_job()
        database = sqlite3.connect(path)
        triggers = database.execute(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        self.assertGreater(len(triggers), 0)
        with self.assertRaises(sqlite3.DatabaseError):
            database.execute("UPDATE face SET name = 'Fronk'")
        for name, _ in triggers:
            database.execute(f'DROP TRIGGER "{name}"')
        database.execute("UPDATE face SET name = 'Fronk'")
        database.commit()
        self.run_cli("status", path, code=FILE)
        for _, sql in triggers:
            database.execute(sql)
        database.commit()
        database.close()
        said = self.run_cli("verify", path, code=NO)
        self.assertIn("rakelight-cli: ", said)

    def test_files_that_are_no_jobs_are_refused(self):
        for name, content in (("text.rakejob", b"a shopping list\n"), ("empty.rakejob", b""),
                              ("noise.rakejob", os.urandom(4096))):
            with open(self.path(name), "wb") as file:
                file.write(content)
            self.run_cli("status", self.path(name), code=FILE)
        self.run_cli("status", self.path("nowhere.rakejob"), code=FILE)


class Map(Case):
    def test_a_map_is_written_in_each_form(self):
        path = self.new_job("m.rakejob", "--band", "8")
        for ending, begins in ((".png", b"\x89PNG"), (".svg", b"<?xml"), (".pdf", b"%PDF")):
            picture = self.path("map" + ending)
            self.run_cli("map", path, picture)
            with open(picture, "rb") as file:
                self.assertTrue(file.read(5).startswith(begins))
        self.run_cli("map", path, self.path("map.gif"), code=OUTPUT)
        self.run_cli("map", path, self.path("no/such/folder.png"), code=OUTPUT)
        self.run_cli("map", path, self.path("x.png"), "--face", "Nowhere", code=INPUT)
        self.assertFalse(os.path.exists(self.path("x.png")))


class ReadPhoto(Case):
    PICTURES = "tests/imaging/pictures"

    def picture(self, name):
        return os.path.join(SOURCE, self.PICTURES, name)

    def truth(self, name):
        with open(self.picture(name + ".json"), encoding="utf-8") as file:
            return json.load(file)["truth"]

    def read(self, name, *options):
        return json.loads(self.run_cli("read-photo", "--image", self.picture(name + ".jpg"),
                                       "--scene", self.picture(name + ".json"), *options))

    def test_a_folder_is_read_and_summed_up(self):
        out = self.path("out")
        os.mkdir(out)
        said = json.loads(self.run_cli("read-photo", "--image", self.picture(""), "--scene",
                                       self.picture(""), "--out", out, "--json"))
        self.assertEqual([item["name"] for item in said], ["raking-05", "raking-16", "raking-22"])
        for item in said:
            truth = self.truth(item["name"])["glossy_fraction"]
            self.assertEqual(item["obstacle"], "readable")
            for zone, share in item["glossy_fraction"].items():
                self.assertAlmostEqual(share, truth[zone], delta=0.06)
            with open(os.path.join(out, item["name"] + ".json"), encoding="utf-8") as file:
                self.assertEqual(len(json.load(file)["low_spots"]), item["low_spots"])

    def test_the_same_picture_gives_the_same_bytes(self):
        self.assertEqual(self.read("raking-22"), self.read("raking-22"))

    def test_proposals_say_where_and_why(self):
        said = self.read("raking-16")
        self.assertGreater(len(said["low_spots"]), 200)
        for spot in said["low_spots"]:
            self.assertGreaterEqual(len(spot["polygon"]), 4)
            self.assertEqual(spot["looks"], "dark")
            self.assertIn("matte", spot["why"])
        self.assertEqual({zone["regime"] for zone in said["zones"]}, {"away"})

    def test_a_photograph_of_a_job_is_read_and_the_job_stays_as_it_was(self):
        with open(self.picture("raking-22.json"), encoding="utf-8") as file:
            scene = json.load(file)
        corners = scene["outline"] + scene["outline"][:1]
        outline = "POLYGON ((" + ", ".join("%.3f %.3f" % tuple(p) for p in corners) + "))"
        job, pairs = self.path("read.rakejob"), self.path("pairs")
        self.run_cli("import", job, text=json.dumps(
            {"kind": "face", "id": "@f", "name": "Top", "outline": outline}))
        self.run_cli("photo", "add", job, self.picture("raking-22.jpg"), "--face", "Top")
        self.assertIn("not laid", self.run_cli("read-photo", job, "1", code=INPUT))
        with open(pairs, "w", encoding="utf-8") as file:
            for pair in scene["point_pairs"]:
                file.write("%g %g %g %g\n" % (*pair["image"], *pair["body"]))
        self.run_cli("photo", "register", job, "1", "--pairs", pairs)
        before = digest(job)
        said = json.loads(self.run_cli("read-photo", job, "1"))
        self.assertEqual(said["obstacle"], "readable")
        self.assertEqual(digest(job), before)
        self.run_cli("read-photo", job, "7", code=INPUT)
        self.run_cli("read-photo", job, code=USAGE)
        twice = json.loads(self.run_cli("read-photo", job, "1", "1"))
        self.assertEqual(len(twice["low_spots"]), len(said["low_spots"]))
        self.assertEqual({(spot["showing"], spot["able"]) for spot in twice["low_spots"]}, {(2, 2)})
        for zone, share in said["glossy_fraction"].items():
            self.assertAlmostEqual(twice["glossy_fraction"][zone], share, delta=1e-4)

    def test_pictures_of_one_body_are_read_together_where_asked(self):
        folder, out = self.path("in"), self.path("out")
        os.mkdir(folder)
        os.mkdir(out)
        for name in ("a", "b"):
            shutil.copy(self.picture("raking-22.jpg"), os.path.join(folder, name + ".jpg"))
            shutil.copy(self.picture("raking-22.json"), os.path.join(folder, name + ".json"))
        shutil.copy(self.picture("raking-05.jpg"), os.path.join(folder, "c.jpg"))
        shutil.copy(self.picture("raking-05.json"), os.path.join(folder, "c.json"))
        said = json.loads(self.run_cli("read-photo", "--image", folder, "--scene", folder, "--out",
                                       out, "--together", "--json"))
        self.assertEqual([item["name"] for item in said], ["a", "b", "c"])
        self.assertEqual(said[0]["low_spots"], said[1]["low_spots"])
        with open(os.path.join(out, "b.json"), encoding="utf-8") as file:
            self.assertEqual({spot["able"] for spot in json.load(file)["low_spots"]}, {2})

    def test_what_is_no_picture_or_no_scene_is_refused_in_a_sentence(self):
        scene = json.load(open(self.picture("raking-22.json"), encoding="utf-8"))
        image = self.picture("raking-22.jpg")
        with open(image, "rb") as file:
            bytes_ = file.read()

        def refuse(image_bytes, scene_text):
            with open(self.path("a.jpg"), "wb") as file:
                file.write(image_bytes)
            with open(self.path("a.json"), "w", encoding="utf-8") as file:
                file.write(scene_text)
            self.run_cli("read-photo", "--image", self.path("a.jpg"), "--scene",
                         self.path("a.json"), code=INPUT)

        whole = json.dumps(scene)
        refuse(b"this is not a picture at all", whole)
        refuse(b"", whole)
        refuse(bytes_[:len(bytes_) // 2], whole)
        for text in ("", "[]", "{", "{}", '{"a":1,"a":2}', "[" * 100000, whole[:-5],
                     whole.replace("1644", "1e400", 1)):
            refuse(bytes_, text)
        for change in ({"image_size": [10, 10]}, {"image_size": "wide"}, {"outline": []},
                       {"outline": [[0, 0], [1, 1]]}, {"outline": [[0, 0], [1, 1], [2, 2]]},
                       {"outline": [[0, 0], [1e300, 0], [0, 1e300]]}, {"holes": 3},
                       {"holes": [[[0, 0]]]}, {"zones": [{"polygon": scene["outline"]}]},
                       {"zones": scene["zones"] * 2}, {"zones": None}, {"point_pairs": []},
                       {"point_pairs": scene["point_pairs"][:3]},
                       {"point_pairs": [scene["point_pairs"][0]] * 4},
                       {"point_pairs": [{"image": [0, 0]}] * 4}):
            refuse(bytes_, json.dumps(dict(scene, **change)))

    def test_a_command_line_without_sense_is_refused(self):
        image, scene = self.picture("raking-22.jpg"), self.picture("raking-22.json")
        for arguments in ((), ("--image", image), ("--image", image, "--scene", self.folder),
                          ("--image", self.folder, "--scene", self.folder),
                          ("--image", image, "--scene", scene, "--sensitivity", "2"),
                          ("--image", image, "--scene", scene, "--stroke", "nan0"),
                          ("--image", image, "--scene", scene, "--stroke", "1000"),
                          ("--image", image, "--scene", scene, "--together"),
                          ("--image", image, "--scene", scene, "extra")):
            self.run_cli("read-photo", *arguments, code=USAGE)
        self.run_cli("read-photo", "--image", image, "--scene", scene, "--out",
                     self.path("no/such/folder"), code=OUTPUT)


if __name__ == "__main__":
    PROGRAM, SOURCE = sys.argv[1], sys.argv[2]
    unittest.main(argv=sys.argv[:1])
