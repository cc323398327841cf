#!/usr/bin/python3
"""The three demonstration jobs: made by data/demo/make.sh, opened, and as docs/record.md tells them.

demo_jobs.py RAKELIGHT-CLI BUILD-ROOT SOURCE-ROOT
"""

import json
import os
import subprocess
import sys
import tempfile
import unittest

PROGRAM, BUILD, SOURCE = sys.argv[1:4]


class Demo(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.environment = dict(os.environ, XDG_STATE_HOME=cls.folder.name, XDG_CONFIG_HOME=cls.folder.name,
                               LC_ALL="C.UTF-8", LANGUAGE="en")
        done = subprocess.run(["sh", os.path.join(SOURCE, "data/demo/make.sh"), BUILD,
                               os.path.join(cls.folder.name, "jobs")],
                              capture_output=True, env=cls.environment, check=False)
        assert done.returncode == 0, done.stderr.decode()
        cls.jobs = done.stdout.decode().split()

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def run_cli(self, *arguments):
        done = subprocess.run([PROGRAM, *arguments], capture_output=True, env=self.environment, check=False)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        return done.stdout.decode()

    def status(self, stem):
        path = next(job for job in self.jobs if stem in job)
        return path, json.loads(self.run_cli("status", "--json", path))

    def test_there_are_three_whole_ones_and_the_mandola_comes_first(self):
        self.assertEqual(len(self.jobs), 3)
        self.assertIn("mandola", self.jobs[0])
        for job in self.jobs:
            self.run_cli("verify", job)

    def test_the_mandola_has_a_burn_and_a_scratch(self):
        _, told = self.status("mandola")
        marks = [mark["mark"] for face in told["faces"] for zone in face["zones"] for mark in zone["marks"]
                 if mark["is_open"]]
        self.assertEqual((marks.count("Burn (heat)"), "Scratch" in marks), (1, True))
        self.assertIsNone(told["handed_over"])

    def test_the_lid_waits_for_its_last_look(self):
        _, told = self.status("writing-box")
        face = told["faces"][0]
        self.assertEqual(face["stage"]["action"], "last look")
        for zone in face["zones"]:
            self.assertEqual(zone["verdict"], "look again", zone["name"])
            self.assertIn("D6", [reason["trace"] for reason in zone["reasons"]])

    def test_the_fallboard_was_handed_over_and_claimed(self):
        path, told = self.status("fallboard")
        over, claim, defect = told["handed_over"], told["claims"][0], told["defects"][0]
        self.assertTrue(over["seal_holds"] and over["is_closed"])
        self.assertEqual((defect["name"], defect["standing"], len(defect["story"]), len(defect["repairs"])),
                         ("Burn (heat)", "repaired", 2, 1))
        self.assertEqual(defect["from_edge_mm"], 240 - 218)  # its lowest corner, in a board of 240 mm
        self.assertEqual((claim["decision"], claim["zone"], claim["then"]["n_marks"]), ("goodwill", "Middle", 0))
        self.assertEqual(len(told["defects"]) + len(told["claims"]), 2)
        done = subprocess.run([PROGRAM, "verify", path, "--seal", over["seal"]], capture_output=True,
                              env=self.environment, check=False)
        self.assertEqual(done.returncode, 1)  # whole, but more was added since: the hand-over first of all
        self.assertIn("had this seal", done.stderr.decode())
        self.assertIn("“Handed over”", done.stderr.decode())

    def test_each_has_photographs_that_lie_on_their_face(self):
        shown = {}
        for job in self.jobs:
            for photo in json.loads(self.run_cli("photo", "list", "--json", job)):
                shown[photo["name"]] = photo
                self.assertEqual((photo["bytes"], photo["width_px"]), ("kept", 1000))
                if photo["view"]:  # the whole face: six places were clicked, each off by half a pixel or so
                    self.assertEqual(photo["registration"]["n_pairs"], 6)
                    self.assertTrue(0 < photo["registration"]["rms_px"] < 2, photo["registration"])
        self.assertEqual(sorted(shown), ["burn.jpg", "claim.jpg", "delivery.jpg", "front-burn.jpg",
                                         "front-scratch.jpg", "front.jpg", "lid-p1000.jpg", "lid-p2000.jpg"])
        self.assertEqual(shown["claim.jpg"]["view"], shown["delivery.jpg"]["view"])
        self.assertEqual(shown["claim.jpg"]["zones"], ["Bass", "Middle", "Treble"])  # the claim is of one of these
        self.assertEqual(shown["burn.jpg"]["zones"], ["Treble"])
        self.assertEqual(shown["burn.jpg"]["taken"], "2024-05-14T08:37:40.000+02:00")  # before it was levelled


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
