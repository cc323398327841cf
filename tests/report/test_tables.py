#!/usr/bin/python3
"""test_tables.py RAKELIGHT-CLI MAKE-DEMO: the tables for a spreadsheet, read by Python's csv module
(RFC 4180) and held against the exchange form of the same job."""

import csv
import io
import json
import sys
import unittest

import support
from support import INPUT, OUTPUT, USAGE

KINDS = {"passes": "pass", "looks": "look", "states": "state", "marks": "mark",
         "revisits": "revisit", "readings": "reading", "coats": "coat", "repairs": "repair",
         "acceptances": "acceptance", "notes": "note"}

# Free text as somebody may type it, or mail it.
NASTY = ['=HYPERLINK("x")', "+1 coat", "-2 µm", "@SUM(A1)", 'said "so", twice', "two\nlines",
         "plain", "Öl – ‘gut’ 漆", " =not first", "'=already"]


class Tables(support.Case):
    def rows(self, path, table):
        text = self.run_cli("export", path, "--csv", table)
        done = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        rows = list(done)
        for row in rows:
            self.assertNotIn(None, row, "more cells than columns")
            self.assertNotIn(None, row.values(), "fewer cells than columns")
        return rows

    def test_every_table_has_the_entries_of_its_kind_with_their_values(self):
        entries = self.entries(self.demo)
        self.assertGreater(sum(entry["kind"] == "look" for entry in entries), 20)
        for table, kind in KINDS.items():
            wanted = [entry for entry in entries if entry["kind"] == kind]
            rows = self.rows(self.demo, table)
            self.assertEqual([row["entry"] for row in rows], [entry["id"] for entry in wanted])
            for row, entry in zip(rows, wanted):
                self.same(row, entry)

    def same(self, row, entry):
        for name, value in entry.items():
            if name in ("kind", "id", "bench", "number", "previous", "hash", "gesture", "happened"):
                continue
            if name == "written":
                self.assertEqual(row["written"], value)
            elif isinstance(value, (int, float)):
                self.assertEqual(float(row[name]), value, name)
            elif name + "_id" in row:
                self.assertEqual(row[name + "_id"], value)
            elif isinstance(value, str):
                self.assertEqual(row[name].removeprefix("'"), value, name)
            else:
                self.assertEqual(row[name].count("; ") + 1, max(1, len(value)), name)

    def test_a_zone_and_a_face_have_their_names(self):
        names = {}
        for entry in self.entries(self.demo):
            if entry["kind"] == "zones":
                names.update({zone["id"]: zone["name"] for zone in entry["added"]})
        looks = self.rows(self.demo, "looks")
        self.assertEqual({row["in_face"] for row in looks}, {"Front", "Back"})
        for row in looks:
            self.assertEqual(row["in_zone"], names[row["zone_id"]])
            self.assertEqual(row["zone"], names[row["zone_id"]])
        for row in self.rows(self.demo, "marks"):
            self.assertIn(row["in_zone"], names.values())

    def test_lines_end_as_the_standard_says(self):
        file = self.path("looks.csv")
        self.run_cli("export", self.demo, "--csv", "looks", "--output", file)
        with open(file, "rb") as table:
            data = table.read()
        self.assertTrue(data.endswith(b"\r\n"))
        self.assertEqual(data.count(b"\n"), data.count(b"\r\n"))

    def test_text_is_text_whatever_it_begins_with(self):
        path = self.path("nasty.rakejob")
        self.run_cli("new", path, "--finish", "shellac", "--outline", "lid", "--size", "300x200")
        lines = "".join(json.dumps({"kind": "note", "text": text}) + "\n" for text in NASTY)
        self.run_cli("import", path, text=lines)
        cells = [row["text"] for row in self.rows(path, "notes")]
        wanted = ["'" + text if text[0] in "=+-@" else text for text in NASTY]
        self.assertEqual(cells, wanted)

    def test_what_was_struck_out_stays_with_its_reason(self):
        path = self.path("struck.rakejob")
        self.run_cli("new", path, "--finish", "shellac", "--outline", "lid", "--size", "300x200")
        self.run_cli("import", path, text='{"kind":"note","id":"@n","text":"wrong"}\n'
                     '{"kind":"note","text":"right"}\n'
                     '{"kind":"strike","entry":"@n","why":"correction","reason":"=slip"}\n')
        self.assertEqual([(row["text"], row["standing"], row["because"])
                          for row in self.rows(path, "notes")],
                         [("wrong", "struck out", "'=slip"), ("right", "stands", "")])

    def test_what_cannot_be_done_is_said(self):
        self.assertIn("passes", self.run_cli("export", self.demo, "--csv", "sheep", code=USAGE))
        self.run_cli("export", self.demo, "--csv", "looks", "--output", self.path("no/x.csv"),
                     code=OUTPUT)


if __name__ == "__main__":
    support.PROGRAM, support.MAKE_DEMO = sys.argv[1:3]
    unittest.main(argv=sys.argv[:1])
