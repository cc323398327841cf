#!/usr/bin/python3
"""test_report.py RAKELIGHT-CLI MAKE-DEMO LOCALES: the report of the demonstration job, both editions, both
papers, two languages, as poppler and qpdf read it, held against what status --json says of the job."""

import json
import math
import os
import re
import subprocess
import sys
import time
import unittest

import pdf
import support
from support import FILE, INPUT, NO, OUTPUT, USAGE

NOW = "2026-03-20T10:00:00Z"

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch.
SHEETS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
EDITIONS = {"client": "The client’s", "shop": "The shop’s, with notes and costs"}

HISTORY = """\
{"kind":"note","id":"@slip","text":"never mind this one"}
{"kind":"strike","entry":"@slip","why":"correction","reason":"written about another piece"}
{"kind":"note","text":"the client was told of the burn by telephone"}
"""


def words(text):
    return re.sub(r"[\s\u00a0]+", " ", text).strip()


class Report(support.Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        done = subprocess.run([support.PROGRAM, "import", cls.demo], input=HISTORY.encode(),
                              capture_output=True, env=cls.environment, check=False)
        assert done.returncode == 0, done.stderr
        cls.now = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
        cls.known = {}

    def report(self, edition="client", sheet="a4", language="en"):
        """Written once for each kind."""
        key = (edition, sheet, language)
        if key not in self.known:
            path = self.path("-".join(key) + ".pdf")
            self.run_cli("report", self.demo, "--output", path, "--edition", edition, "--paper",
                         sheet, "--lang", language, "--now", self.now)
            self.known[key] = pdf.Pdf(path)
        return self.known[key]

    def all(self):
        for edition in EDITIONS:
            for sheet in SHEETS:
                for language in ("en", "de"):
                    yield edition, sheet, language, self.report(edition, sheet, language)

    def status(self, *options):
        return json.loads(self.run_cli("status", "--json", self.demo, "--now", self.now, *options))

    def test_a_film_is_held_to_its_nominal_one_as_coated(self):
        lines = [{"kind": "job", "name": "Lid 9", "nominal_film_um": 100},
                 {"kind": "face", "id": "@lid", "name": "Lid",
                  "outline": "POLYGON ((0 0, 90 0, 90 60, 0 60, 0 0))"},
                 {"kind": "schedule", "face": "@lid",
                  "stages": [{"id": "@level", "action": "level", "grade": "P800"}]}]
        readings = [{"kind": "reading", "zone": "@lid", "quantity": "film um", "value": value}
                    for value in (102, 101, 104)]
        worn = {**readings[0], "value": 40}
        work = {"kind": "pass", "stage": "@level", "zones": ["@lid"]}
        for name, entries, said in (("good", [*readings, work, worn], "Passes"),
                                    ("thin", [*readings, worn, work], "one under four fifths")):
            path, paper = self.path(name + ".rakejob"), self.path(name + ".pdf")
            text = "\n".join(json.dumps(entry) for entry in lines + entries) + "\n"
            self.run_cli("import", path, text=text)
            self.run_cli("report", path, "--output", paper, "--now", self.now)
            self.assertIn(said, words(pdf.Pdf(paper).text()))

    # --- the file -------------------------------------------------------------------------------

    def test_every_kind_is_a_sound_pdf_of_its_paper(self):
        for edition, sheet, language, report in self.all():
            with self.subTest(edition=edition, sheet=sheet, language=language):
                self.assertEqual(report.check(), "")
                self.assertGreater(report.n_pages, 5)
                size = [float(n) for n in re.findall(r"[\d.]+", report.info["Page size"])[:2]]
                for got, wanted in zip(size, SHEETS[sheet]):
                    self.assertAlmostEqual(got, wanted, delta=0.01)

    def test_fonts_are_embedded_and_their_letters_can_be_read_back(self):
        for *kind, report in self.all():
            fonts = report.fonts()
            self.assertGreater(len(fonts), 1, kind)
            for name, is_embedded, has_letters in fonts:
                self.assertTrue(is_embedded and has_letters, f"{kind}: {name}")

    def test_it_says_what_it_is_and_nothing_of_the_machine(self):
        report = self.report()
        self.assertEqual(report.info["Title"], "Finish record: Octave mandola 14")
        self.assertEqual(report.info["Author"], "Harrow and Quill")
        self.assertEqual(report.info["Creator"], "Rakelight")
        self.assertEqual(self.report(language="de").info["Title"],
                         "Lack-Aufzeichnung: Octave mandola 14")
        with open(report.path, "rb") as file:
            data = file.read()
        for secret in (self.folder, os.path.basename(self.demo), os.uname().nodename,
                       os.path.expanduser("~")):
            if len(secret) > 4:
                self.assertFalse(secret.encode() in data, secret)

    def test_the_same_job_gives_the_same_file(self):
        again = self.path("again.pdf")
        first = self.report()
        self.run_cli("report", self.demo, "-o", again, "--now", self.now, "--lang", "en")
        with open(first.path, "rb") as one, open(again, "rb") as other:
            self.assertTrue(one.read() == other.read(), "it is another file")

    def test_it_is_tagged_with_a_language_and_words_for_each_picture(self):
        for language in ("en", "de"):
            report = self.report(language=language)
            tags = report.tags()
            for tag in ("Document", "Sect", "H1", "H2", "H3", "P", "Table", "TR", "TH", "TD", "L", "LI",
                        "Figure", "Caption", "TOC", "TOCI", "Link"):
                self.assertIn(tag, tags)
            objects = list(report.objects().values())
            catalog = [o for o in objects if isinstance(o, dict) and o.get("/Type") == "/Catalog"]
            self.assertEqual([o.get("/Lang", "").removeprefix("u:") for o in catalog], [language])
            figures = [o for o in objects if isinstance(o, dict) and o.get("/S") == "/Figure"]
            self.assertEqual(len(figures), tags.count("Figure"))
            alternatives = [o.get("/Alt", "").removeprefix("u:") for o in figures]
            self.assertTrue(all(alternatives), alternatives)
            self.assertTrue(any("Tail bass: " in text for text in alternatives))

    def test_pages_are_numbered_and_the_contents_lead_to_their_sections(self):
        report = self.report()
        for page in range(1, report.n_pages + 1):
            self.assertIn(f"{page} of {report.n_pages}", report.text(page))
        contents = re.findall(r"(?:^| {3,})(\d+) +(\D.*?) {3,}(\d+)$", report.text(1, layout=True), re.M)
        self.assertGreater(len(contents), 10)
        for number, title, page in contents:
            self.assertIn(f"{number} {title}", report.words(int(page)))
        objects = report.objects().values()
        outline = [o["/Title"] for o in objects if isinstance(o, dict) and "/Title" in o and "/Dest" in o
                   or isinstance(o, dict) and "/Title" in o and "/Parent" in o]
        for _, title, _ in contents:
            self.assertIn(title, [text.removeprefix("u:") for text in outline])

    # --- what it says ---------------------------------------------------------------------------

    def test_every_figure_is_that_of_the_status(self):
        status = self.status("--facts")
        text = self.report().words()
        self.assertIn(" ".join(re.findall(".{8}", status["seal"])), text)
        self.assertIn(f"the logbook of {status['n_entries']} entries", text)
        for face in status["faces"]:
            gate = face["gate"]
            self.assertIn(f"{gate['n_settled']} of {gate['n_zones']}, "
                          f"{math.floor(gate['ready_fraction'] * 100)} %", text)
            self.assertIn(words(gate["sentence"]), text)
            self.assertIn(f"{face['name']} {face['area_mm2'] / 100:.0f} cm²", text)
            for zone in face["zones"]:
                self.zone_is_told(zone, text)

    def zone_is_told(self, zone, text):
        stage = zone["stage"]
        row = f"{zone['name']} {zone['area_mm2'] / 100:.0f} cm²"
        at = text.index(row, text.index("Verdicts, zone by zone As of"))
        told = text[at:at + 2000]
        self.assertIn(f"{stage['action'].capitalize()} {stage['grade']}", told[:120])
        if zone["is_settled"] and zone["is_accepted"]:
            self.assertIn("Accepted", told[:140])
            self.assertIn("Accepted: " + words(zone["accepted_because"]), told)
        elif zone["verdict"]:
            self.assertIn(zone["verdict"].capitalize(), told[:140])
        for reason in zone["reasons"]:
            self.assertIn(words(reason["sentence"]), told)
            if reason["clears"] and not reason["is_accepted"]:
                self.assertIn("→ " + words(reason["clears"]), told)

    def test_the_film_is_that_of_the_status(self):
        for language, sign in (("en", "."), ("de", ",")):
            text = self.report(language=language).words()
            at = text.index({"en": "5 Film Dry", "de": "5 Film Trockener"}[language])
            n_known = 0
            for face in self.status("--facts")["faces"]:
                for zone in face["zones"]:
                    film = zone["facts"].get("film_um")
                    if film is None:
                        continue
                    n_known += 1
                    at = text.index(f"{zone['name']} {film:.1f} ± ".replace(".", sign), at)
            self.assertGreater(n_known, 10)

    def test_every_pass_and_every_look_is_told(self):
        entries = self.entries(self.demo)
        text = self.report().words()
        self.assertEqual(len(re.findall(r"Pass: (?:Level|Refine|Buff) ", text)),
                         sum(entry["kind"] == "pass" for entry in entries))
        self.assertEqual(len(re.findall(r"Look: ", text)),
                         sum(entry["kind"] == "look" for entry in entries))
        for entry in entries:
            if entry["kind"] == "mark" and "cause" in entry:
                self.assertIn(words(entry["cause"]), text)
            if entry["kind"] == "repair":
                self.assertIn(f"{entry['added_um']} ± {entry['added_sd_um']} µm", text)

    def test_maps_show_each_stage_that_a_face_has_left(self):
        entries = self.entries(self.demo)
        begun = sum(entry["kind"] == "begin_stage" for entry in entries)
        self.assertGreater(begun, 0)
        text = self.report().words()
        ends = re.findall(r"(\w+) at the end of (\w+ \w+), .{16}: after the first (\d+) of (\d+) "
                          r"entries", text)
        self.assertEqual(len(ends), begun)
        for face, stage, n, of in ends:
            before = [entry for entry in entries[:int(n)]]
            self.assertEqual(entries[int(n)]["kind"], "begin_stage")
            self.assertEqual(int(of), len(entries))
            self.assertEqual((face, stage), ("Back", "Level P800"))
            self.assertGreater(len(before), 50)
        faces = [face["name"] for face in self.status()["faces"]]
        for face in faces:
            self.assertRegex(text, face + r" at \w+ \w+, as it is now")

    def test_notes_are_the_shops_own(self):
        told = "the client was told of the burn by telephone"
        slip = "never mind this one"
        self.assertIn(told, self.report("shop").words())
        self.assertIn(slip, self.report("shop").words())
        self.assertIn("written about another piece", self.report("shop").words())
        for language in ("en", "de"):
            for secret in (told, slip):
                self.assertNotIn(secret, self.report("client", language=language).words())
        for edition, name in EDITIONS.items():
            self.assertIn(name, self.report(edition).words(1))

    def test_german_speaks_german(self):
        english = self.report().words()
        german = self.report(language="de").words()
        sentences = [words(reason["sentence"]) for face in self.status()["faces"]
                     for zone in face["zones"] for reason in zone["reasons"]]
        for sentence in sentences:
            self.assertIn(sentence, english)
            self.assertNotIn(sentence, german)
        for word in ("Wie es steht", "Pflege", "Tiefstelle", "Durchgang: "):
            self.assertIn(word, german)

    # --- how it looks ---------------------------------------------------------------------------

    def test_nothing_is_printed_outside_the_margins(self):
        for kind in (("shop", "a4", "en"), ("client", "letter", "de")):
            report = self.report(*kind)
            for page in range(1, report.n_pages + 1):
                width, height, grey = report.grey(page)
                for y in range(height):
                    row = grey[y * width:(y + 1) * width]
                    if min(row) < 250:
                        self.assertGreater(min(row[:50]), 250, f"{kind} page {page}, left, line {y}")
                        self.assertGreater(min(row[-50:]), 250, f"{kind} page {page}, right, line {y}")
                for side in (grey[:30 * width], grey[-20 * width:]):
                    self.assertGreater(min(side), 250, f"{kind} page {page}, head or foot")

    def test_it_is_safe_in_black_and_white(self):
        """Whatever has a colour is dark enough to stay when the colour goes."""
        report = self.report()
        for page in range(1, report.n_pages + 1):
            width, height, data = report.colours(page, 50)
            for at in range(0, len(data), 3):
                red, green, blue = data[at:at + 3]
                if max(red, green, blue) - min(red, green, blue) > 40:
                    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
                    self.assertLess(light, 200, f"page {page}, point {at // 3}: {red} {green} {blue}")

    # --- what goes wrong ------------------------------------------------------------------------

    def test_what_cannot_be_done_is_said_in_one_sentence(self):
        out = self.path("x.pdf")
        for options in (["--paper", "a5"], ["--edition", "mine"], ["--lang", "xx"], ["--now", "soon"],
                        ["--lang", "../de"]):
            self.run_cli("report", self.demo, "-o", out, *options, code=USAGE)
        self.run_cli("report", self.demo, code=USAGE)
        self.run_cli("report", self.path("nowhere.rakejob"), "-o", out, code=FILE)
        self.run_cli("report", self.demo, "-o", self.path("no/such/x.pdf"), code=OUTPUT)
        self.run_cli("report", self.demo, "-o", self.folder, code=OUTPUT)
        self.run_cli("report", self.demo, "-o", out, "--rules", self.demo, code=INPUT)
        self.assertFalse(os.path.exists(out))

    def test_a_full_disk_leaves_the_older_report(self):
        out = self.path("kept.pdf")
        with open(out, "w", encoding="ascii") as file:
            file.write("the older one")
        before = sorted(os.listdir(self.folder))
        # A limit on the size of files is met as a full disk is: in the middle of writing.
        # Among the pages, and among the fonts and tables at the end, where cairo 1.16 would abort.
        for blocks in (40, 200):
            done = subprocess.run(["sh", "-c", f'trap "" XFSZ; ulimit -f {blocks}; exec "$@"', "-",
                                   support.PROGRAM, "report", self.demo, "-o", out],
                                  capture_output=True, text=True, env=self.environment, check=False)
            self.assertEqual(done.returncode, OUTPUT, blocks)
            self.assertIn("the disk is full", done.stderr)
            self.assertEqual(len(done.stderr.splitlines()), 1)
            self.assertEqual(sorted(os.listdir(self.folder)), before)
            with open(out, encoding="ascii") as file:
                self.assertEqual(file.read(), "the older one")

    def test_a_job_with_nothing_in_it_has_a_report(self):
        path, out = self.path("bare.rakejob"), self.path("bare.pdf")
        self.run_cli("import", path, text='{"kind":"job","name":"Bare"}\n')
        self.run_cli("report", path, "-o", out)
        bare = pdf.Pdf(out)
        self.assertEqual(bare.check(), "")
        self.assertIn("The job has no face yet.", bare.words())


class BenchSheet(support.Case):
    def sheet(self, *options):
        path = self.path("sheet.pdf")
        self.run_cli("bench-sheet", self.demo, "-o", path, *options)
        return pdf.Pdf(path)

    def test_one_page_has_every_zone_and_the_lamps_directions(self):
        for sheet, size in SHEETS.items():
            page = self.sheet("--paper", sheet)
            self.assertEqual(page.check(), "")
            self.assertEqual(page.n_pages, 1)
            got = [float(n) for n in re.findall(r"[\d.]+", page.info["Page size"])[:2]]
            for one, other in zip(got, size):
                self.assertAlmostEqual(one, other, delta=0.01)
            text = page.words()
            status = json.loads(self.run_cli("status", "--json", self.demo))
            for zone in status["faces"][0]["zones"]:
                # In the table and on the map, but for a band too narrow for its name.
                self.assertGreaterEqual(text.count(zone["name"]), 1 if zone["is_edge"] else 2)
            for degrees in range(0, 360, 45):
                self.assertIn(f" {degrees}°", " " + text)

    def test_it_is_black_and_white(self):
        width, height, data = self.sheet().colours(1)
        self.assertTrue(all(data[at] == data[at + 1] == data[at + 2] for at in range(0, len(data), 3)))
        self.assertLess(min(data), 60)

    def test_zones_without_a_row_are_counted(self):
        path, out = self.path("many.rakejob"), self.path("many.pdf")
        self.run_cli("new", path, "--finish", "shellac", "--outline", "lid", "--size", "300x200",
                     "--grid", "9x9")
        self.run_cli("bench-sheet", path, "-o", out)
        text = pdf.Pdf(out).words()
        more = int(re.search(r"(\d+) zones more", text)[1])
        rows = 81 - more
        self.assertGreater(rows, 10)
        self.assertEqual(pdf.Pdf(out).n_pages, 1)

    def test_what_cannot_be_done_is_said(self):
        out = self.path("none.pdf")
        self.run_cli("bench-sheet", self.demo, code=USAGE)
        self.run_cli("bench-sheet", self.demo, "-o", out, "--paper", "a3", code=USAGE)
        self.run_cli("bench-sheet", self.demo, "-o", out, "--face", "Nowhere", code=INPUT)
        self.run_cli("bench-sheet", self.demo, "-o", self.path("no/x.pdf"), code=OUTPUT)
        self.assertFalse(os.path.exists(out))


if __name__ == "__main__":
    support.PROGRAM, support.MAKE_DEMO, support.LOCALES = sys.argv[1:4]
    unittest.main(argv=sys.argv[:1])
