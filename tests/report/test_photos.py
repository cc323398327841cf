#!/usr/bin/python3
"""test_photos.py RAKELIGHT-CLI MAKE-DEMO WRITE-REPORT ADD-PHOTO: photographs pass through to the byte, stand upright, and
can be cancelled in the middle. The JPEGs are made by ImageMagick, and read back by poppler."""

import hashlib
import os
import re
import shutil
import subprocess
import sys
import unittest

import pdf
import support

WRITE_REPORT = ADD_PHOTO = ""


def digest(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


class Photos(support.Case):
    def jpeg(self, name, width, height):
        """Its left half black, its right half white."""
        path = self.path(name)
        half = f"rectangle 0,0 {width // 2 - 1},{height - 1}"
        subprocess.run(["convert", "-size", f"{width}x{height}", "xc:white", "-fill", "black", "-draw",
                        half, "-quality", "92", path], check=True)
        return path

    def write(self, *photos, cancel_at="2", code=0, name="photos.pdf"):
        done = subprocess.run([WRITE_REPORT, self.demo, self.path(name), cancel_at, *photos],
                              capture_output=True, text=True, env=self.environment, check=False)
        self.assertEqual(done.returncode, code, done.stderr)
        return self.path(name), [float(line) for line in done.stdout.split()], done.stderr

    def test_each_is_the_file_it_was_and_stands_in_it_once(self):
        files = [self.jpeg(f"{n}.jpg", 640 + 16 * n, 480) for n in range(8)]
        photos = [f"{640 + 16 * n}x480:0:{path}" for n, path in enumerate(files)]
        report, _, _ = self.write(*photos, photos[0])
        self.assertEqual(pdf.Pdf(report).check(), "")
        listed = pdf.run("pdfimages", "-list", report).decode().splitlines()[2:]
        jpegs = [line.split() for line in listed if line.split()[8] == "jpeg"]
        self.assertEqual(len(jpegs), 9, "one is shown twice")
        self.assertEqual(len({line[10] for line in jpegs}), 8, "and written once")
        folder = self.path("out")
        os.makedirs(folder)
        pdf.run("pdfimages", "-all", report, folder + "/p")
        out = {digest(os.path.join(folder, name)) for name in os.listdir(folder)
               if name.endswith(".jpg")}
        self.assertEqual(out, {digest(path) for path in files})

    def test_each_stands_upright(self):
        """Left black: after a quarter turn clockwise the top is black, after three the bottom."""
        path = self.jpeg("turned.jpg", 600, 400)
        report = pdf.Pdf(self.write(*(f"600x400:{turns}:{path}" for turns in range(4)))[0])
        page = next(n for n in range(1, report.n_pages + 1) if "Photographs" in report.words(n) and n > 1)
        width, height, grey = report.grey(page)
        halves = self.dark_halves(width, height, grey)
        left = [half for half in halves if half[0] < width / 2]
        right = [half for half in halves if half[0] >= width / 2]
        self.assertEqual(len(halves), 4, halves)
        upright, upside_down = left
        clockwise, counter = right
        self.assertGreater(upright[3] - upright[1], upright[2] - upright[0])
        self.assertGreater(upside_down[0], upright[0] + 50, "the dark half is on the right")
        self.assertLess(clockwise[3] - clockwise[1], clockwise[2] - clockwise[0])
        self.assertAlmostEqual(clockwise[1], upright[1], delta=2, msg="the dark half is on top")
        self.assertGreater(counter[1], upside_down[1] + 50, "the dark half is at the bottom")

    def dark_halves(self, width, height, grey):
        """Solid black boxes of some size, as left, top, right, bottom, from top to bottom."""
        boxes = []
        for y in range(height):
            row = bytes(1 if value < 40 else 0 for value in grey[y * width:(y + 1) * width])
            for run in re.finditer(b"\x01{60,260}", row):
                for box in boxes:
                    if abs(box[0] - run.start()) < 3 and box[3] == y - 1:
                        box[3] = y
                        break
                else:
                    boxes.append([run.start(), y, run.end(), y])
        return [box for box in boxes if box[3] - box[1] > 30]

    def test_one_that_is_gone_keeps_its_place(self):
        report = pdf.Pdf(self.write("withdrawn", f"4x3:0:{self.path('nowhere.jpg')}")[0])
        text = report.words()
        self.assertIn("This photograph was withdrawn", text)
        self.assertIn("nowhere.jpg", text)
        self.assertEqual(report.check(), "")

    def test_progress_never_falls_and_ends_at_one(self):
        _, steps, _ = self.write()
        self.assertEqual(steps, sorted(steps))
        self.assertEqual(steps[-1], 1)
        self.assertGreater(len(steps), 5)

    def test_cancelled_in_the_middle_it_leaves_nothing(self):
        before = sorted(os.listdir(self.folder))
        for at in ("0.1", "0.35", "0.7", "1"):
            _, steps, said = self.write(cancel_at=at, code=3, name="cancelled.pdf")
            self.assertTrue(said.strip())
            self.assertEqual(sorted(os.listdir(self.folder)), before)
            self.assertLessEqual(len([step for step in steps if step > float(at)]), 2)

    def test_what_the_camera_noted_stays_behind_and_the_picture_is_whole(self):
        plain = self.jpeg("plain.jpg", 480, 320)
        with open(plain, "rb") as file:
            data = file.read()
        noted = self.path("noted.jpg")
        with open(noted, "wb") as file:
            for marker, note in ((0xe1, b"Exif\0\0PLACE 52.5 13.4"), (0xed, b"NAMES"), (0xfe, b"SAID")):
                segment = bytes([0xff, marker]) + (len(note) + 2).to_bytes(2, "big") + note
                data = data[:2] + segment + data[2:]
            file.write(data)
        job, out = self.path("noted.rakejob"), self.path("noted.pdf")
        shutil.copy(self.demo, job)
        subprocess.run([ADD_PHOTO, job, noted, "480", "320", "6"], check=True, env=self.environment)
        self.run_cli("report", job, "-o", out, "--lang", "en")
        with open(out, "rb") as file:
            report = file.read()
        for secret in (b"PLACE", b"NAMES", b"SAID", b"noted.jpg"):
            self.assertFalse(secret in report, secret)
        with open(plain, "rb") as file:
            self.assertTrue(file.read() in report, "the picture itself is another")
        self.assertIn(" Photographs ", pdf.Pdf(out).words())
        self.run_cli("report", job, "-o", out, "--photos", "none", "--lang", "en")
        self.assertNotIn("Photographs", pdf.Pdf(out).words())
        self.run_cli("report", job, "-o", out, "--photos", "huge", code=support.USAGE)

    def test_a_contact_sheet_shows_each_with_what_it_is(self):
        job, out = self.path("sheet.rakejob"), self.path("sheet.pdf")
        shutil.copy(self.demo, job)
        self.run_cli("photo", "sheet", job, "-o", out, code=support.INPUT)
        faces = [entry["name"] for entry in self.entries(job) if entry["kind"] == "face"]
        for n in range(14):
            # no two alike: bytes that are withdrawn are withdrawn for all who have them
            name = self.jpeg(f"IMG {n:04d}.jpg", 640 + 8 * n if n % 2 else 320 + 8 * n, 480)
            self.run_cli("photo", "add", job, name, "--face", faces[0], "--lamp", str(10 * n + 7))
        self.run_cli("photo", "withdraw", job, "3", "-r", "Shows a person")
        for paper, size in (("a4", (595, 842)), ("letter", (612, 792))):
            self.run_cli("photo", "sheet", job, "-o", out, "--paper", paper)
            sheet = pdf.Pdf(out)
            self.assertEqual(sheet.check(), "")
            self.assertEqual(tuple(round(float(n)) for n in
                                   re.findall(r"[\d.]+", sheet.info["Page size"])[:2]), size)
            words = sheet.words()
            for n in range(14):
                self.assertIn(f"{n + 1} {faces[0]}", words)
                self.assertIn(f"lamp at {10 * n + 7}°", words)
                self.assertIn(f"IMG {n:04d}.jpg", words)
            self.assertRegex(words, r"Withdrawn on \d{4}-\d\d-\d\d: Shows a person")
            listed = pdf.run("pdfimages", "-list", out).decode().splitlines()[2:]
            sizes = [tuple(map(int, line.split()[3:5])) for line in listed
                     if line.split()[8] == "jpeg"]
            self.assertEqual([max(size) for size in sizes], [256] * 13, "all but the third, small")
            self.assertEqual(sheet.tags().count("Figure"), 4)
        self.run_cli("photo", "sheet", job, "-o", out, "--face", "nowhere", code=support.INPUT)
        self.run_cli("photo", "sheet", job, code=support.USAGE)
        self.run_cli("photo", "sheet", job, "-o", self.path("no/such/place.pdf"), code=support.OUTPUT)


if __name__ == "__main__":
    support.PROGRAM, support.MAKE_DEMO, WRITE_REPORT, ADD_PHOTO = sys.argv[1:5]
    unittest.main(argv=sys.argv[:1])
