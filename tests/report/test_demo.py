#!/usr/bin/python3
"""test_demo.py RAKELIGHT-CLI MAKE.SH BUILD LOCALES: reports of the demonstration jobs that have what the mandola
has not, defects, a hand-over and a claim, as poppler and qpdf read them, held against what status --json says.

Each edition, paper and language occurs once a job; with RAKELIGHT_ALL_REPORTS in the environment, all of them with
each other."""

import itertools
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

import figures
import pdf
import support

NOW = "2025-07-01T10:00:00Z"
MAKE = BUILD = ""
SAMPLE = [("shop", "a4", "en"), ("client", "letter", "de")]
WIDTHS = {"a4": 210 / 25.4 * 72, "letter": 8.5 * 72}  # ISO 216, ANSI/ASME Y14.1


def words(text):
    return re.sub(r"[\s\u00a0]+", " ", text).strip()


class Demo(support.Case):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.mkdtemp()
        cls.environment = dict(os.environ, XDG_STATE_HOME=cls.folder, XDG_CONFIG_HOME=cls.folder,
                               LC_ALL="C.UTF-8", LANGUAGE="en", RAKELIGHT_LOCALEDIR=support.LOCALES)
        done = subprocess.run(["sh", MAKE, BUILD, cls.folder], capture_output=True, text=True,
                              check=True, env=cls.environment)
        cls.jobs = {os.path.basename(path).split("-")[0]: path for path in done.stdout.split()}

    def report(self, job, edition, sheet, language, *options):
        path = self.path(f"{job}-{edition}-{sheet}-{language}.pdf")
        self.run_cli("report", self.jobs[job], "-o", path, "--edition", edition, "--paper", sheet,
                     "--lang", language, "--now", NOW, *options)
        return pdf.Pdf(path)

    def status(self, job):
        return json.loads(self.run_cli("status", "--json", self.jobs[job], "--now", NOW))

    def test_each_is_a_sound_pdf_of_its_paper(self):
        kinds = SAMPLE
        if "RAKELIGHT_ALL_REPORTS" in os.environ:
            kinds = itertools.product(("shop", "client"), ("a4", "letter"), ("en", "de"))
        for kind, job in itertools.product(kinds, self.jobs):
            with self.subTest(job=job, kind=kind):
                report = self.report(job, *kind)
                self.assertEqual(report.check(), "")
                width = float(re.findall(r"[\d.]+", report.info["Page size"])[0])
                self.assertAlmostEqual(width, WIDTHS[kind[1]], delta=0.01)
                self.assertTrue(all(embedded and letters for _, embedded, letters in report.fonts()))

    def test_the_film_section_has_the_figures_of_the_status_and_no_others(self):
        for job in self.jobs:
            with self.subTest(job=job):
                status = self.status(job)
                text = pdf.run("pdftotext", "-raw", self.report(job, "shop", "a4", "en").path, "-").decode()
                zones = figures.lines_between(text, "Film", "How it came to that")
                self.assertEqual([line for line in zones if re.search(r"\d µm", line)],
                                 list(figures.zone_lines(status)))
                ledger = figures.lines_between(text, "How it came to that", "Verdicts, zone by zone")
                self.assertEqual([line[11:] for line in ledger if re.match(r"\d{4}-\d\d-\d\d ", line)],
                                 list(figures.ledger_lines(status)))
                self.assertGreater(len(ledger), 10)

    def test_faces_and_verdicts_have_the_figures_of_the_status(self):
        for job in self.jobs:
            text = self.report(job, "shop", "a4", "en").words()
            status = self.status(job)
            self.assertIn(f"the logbook of {status['n_entries']} entries", text)
            self.assertIn(" ".join(re.findall(".{8}", status["seal"])), text)
            verdicts = text[text.index("Verdicts, zone by zone As of"):]
            for face in status["faces"]:
                gate = face["gate"]
                self.assertIn(f"{face['name']} {face['area_mm2'] / 100:.0f} cm²", text)
                self.assertIn(f"{gate['n_settled']} of {gate['n_zones']}, "
                              f"{math.floor(gate['ready_fraction'] * 100)} %", text)
                for zone in face["zones"]:
                    self.assertIn(f"{zone['name']} {zone['area_mm2'] / 100:.0f} cm²", verdicts)
                    for reason in zone["reasons"]:
                        self.assertIn(words(reason["sentence"]), verdicts)

    def test_defects_and_claims_are_those_of_the_status(self):
        status = self.status("fallboard")
        self.assertTrue(status["defects"] and status["claims"])
        shop = self.report("fallboard", "shop", "a4", "en").words()
        client = self.report("fallboard", "client", "a4", "en").words()
        for text in (shop, client):
            for defect in status["defects"]:
                for name in ("name", "severity", "cause", "action", "outcome"):
                    if defect[name]:
                        self.assertIn(words(defect[name]), text, name)
                self.assertIn(f"{defect['from_edge_mm']:.0f} mm from the nearest edge", text)
                self.assertIn(f"lamp at {defect['lamp_deg']:.0f}°", text)
            for claim in status["claims"]:
                for name in ("complaint", "finding", "action"):
                    self.assertIn(words(claim[name]), text, name)
            for name in ("condition", "light", "not_examined", "terms", "exclusions"):
                self.assertIn(words(status["handed_over"][name]), text, name)
            self.assertIn(f"{status['handed_over']['months']:.0f} months from", text)
            self.assertIn(f"{status['handed_over']['distance_mm']:.0f} mm", text)
            self.assertIn(" ".join(re.findall(".{8}", status["handed_over"]["seal"])), text)

    def test_costs_are_the_shops_own(self):
        costs = [f"{thing['cost']:.2f} {thing['currency']}" for kind in ("defects", "claims")
                 for thing in self.status("fallboard")[kind] if thing["cost"] is not None]
        self.assertEqual(len(costs), 2)
        shop = self.report("fallboard", "shop", "a4", "en").words()
        client = self.report("fallboard", "client", "a4", "en").words()
        for cost in costs:
            self.assertIn(cost, shop)
            self.assertNotIn(cost, client)

    def test_numbers_are_in_the_units_that_were_asked_for(self):
        edge = self.status("fallboard")["defects"][0]["from_edge_mm"]
        text = self.report("fallboard", "client", "a4", "en", "--units", "customary").words()
        self.assertIn(f"{edge / 25.4:.2f} in from the nearest edge", text)
        self.assertNotRegex(text, r"\d µm")
        self.run_cli("report", self.jobs["fallboard"], "-o", self.path("x.pdf"), "--units", "ells",
                     code=support.USAGE)

    def test_then_and_now_are_pictures_of_the_same_view(self):
        report = self.report("fallboard", "client", "a4", "en")
        listed = pdf.run("pdfimages", "-list", report.path).decode().splitlines()[2:]
        jpegs = [line.split()[10] for line in listed if line.split()[8] == "jpeg"]
        self.assertEqual(len(set(jpegs)), 3, "both and that of the burn are in it, once")
        text = report.words()
        then = text.index("At delivery.", text.index("Claims What"))
        self.assertGreater(text.index("A year later, the same view.", then), then)

    def test_no_heading_stands_alone_at_the_foot_of_a_page(self):
        for job, kind in itertools.product(self.jobs, SAMPLE + [("client", "a4", "en")]):
            report = self.report(job, *kind)
            for page in range(2, report.n_pages + 1):
                lines = [line.strip() for line in report.text(page, layout=True).splitlines() if line.strip()]
                self.assertNotRegex(lines[-2], r"^\d+ {1,3}[A-ZÄÖÜ](?!.* {3})[^\d]*$", f"{job} {kind} page {page}")

    def test_no_line_ends_between_a_number_and_its_unit(self):
        path = self.path("long.rakejob")
        shutil.copy(self.jobs["writing"], path)
        cause = " ".join(f"{number} mm, {number} ± 3 µm, {number} × 7 mm" for number in range(10, 60))
        self.run_cli("defect", "add", path, "Left", "--what", "long", "--cause", cause, "--standing", "open")
        out = self.path("long.pdf")
        self.run_cli("report", path, "-o", out)
        text = pdf.run("pdftotext", "-raw", out, "-").decode()
        self.assertRegex(text, r"mm,\n")  # it does take several lines
        self.assertNotRegex(text, r"\d\n(mm|µm|±|×)")
        self.assertNotRegex(text, r"[±×]\n")


if __name__ == "__main__":
    support.PROGRAM, MAKE, BUILD, support.LOCALES = sys.argv[1:5]
    unittest.main(argv=sys.argv[:1] + sys.argv[5:])
