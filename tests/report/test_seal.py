#!/usr/bin/python3
"""test_seal.py RAKELIGHT-CLI MAKE-DEMO: what verify says of a seal and of a copy. Seals are reckoned here
with hashlib from the exported lines, as docs/logbook.md has it."""

import hashlib
import json
import shutil
import subprocess
import sys
import unittest

import support
from support import FILE, NO

NOTE = '{"kind":"note","text":"one more thing"}\n'


def seal_of(entries):
    ends = {}
    for entry in entries:
        if entry["number"] > ends.get(entry["bench"], {"number": 0})["number"]:
            ends[entry["bench"]] = entry
    lines = "".join(f"{bench} {ends[bench]['number']} {ends[bench]['hash']}\n" for bench in sorted(ends))
    return hashlib.sha256(lines.encode()).hexdigest()


class Seal(support.Case):
    def copy(self, name):
        path = self.path(name)
        shutil.copy(self.demo, path)
        return path

    def verify(self, path, *options):
        """The answer that is no, which is on standard output all the same."""
        done = subprocess.run([support.PROGRAM, "verify", "--json", path, *options],
                              capture_output=True, env=self.environment, check=False)
        self.assertEqual(done.returncode, NO)
        return json.loads(done.stdout)

    def test_a_seal_is_known_in_groups_and_in_either_case(self):
        seal = seal_of(self.entries(self.demo))
        groups = " ".join(seal[i:i + 8] for i in range(0, 64, 8))
        for written in (seal, seal.upper(), groups):
            self.run_cli("verify", self.demo, "--seal", written)

    def test_what_was_added_since_a_seal_is_named(self):
        path = self.copy("added.rakejob")
        before = self.entries(path)
        self.run_cli("import", path, text=NOTE)
        self.run_cli("import", path, text=NOTE)
        said = self.run_cli("verify", path, "--seal", seal_of(before), code=NO)
        self.assertIn(f"since then 2 entries were added, the first is entry {len(before) + 1} of ", said)
        self.assertIn("one more thing", said)
        answer = self.verify(path, "--seal", seal_of(before))
        self.assertEqual((answer["is_whole"], answer["seal_agrees"]), (True, False))
        self.assertEqual(answer["first_entry_that_differs"], len(before) + 1)
        self.assertEqual(answer["seal"], seal_of(self.entries(path)))

    def test_every_seal_it_ever_had_is_found(self):
        entries = self.entries(self.demo)
        for n in (0, 1, 2, len(entries) // 2, len(entries) - 1):
            answer = self.verify(self.demo, "--seal", seal_of(entries[:n]))
            self.assertEqual(answer["first_entry_that_differs"], n + 1)

    def test_a_seal_it_never_had_is_said_to_be_one(self):
        seal = seal_of(self.entries(self.demo))
        wrong = ("0" if seal[0] != "0" else "1") + seal[1:]
        answer = self.verify(self.demo, "--seal", wrong)
        self.assertIsNone(answer["first_entry_that_differs"])
        self.assertIn("after none of its entries", answer["fault"])

    def test_a_copy_names_the_first_entry_that_differs(self):
        same, more, other = (self.copy(name) for name in ("same.rakejob", "more.rakejob",
                                                          "other.rakejob"))
        n = len(self.entries(same))
        self.run_cli("verify", same, "--against", self.demo)
        self.run_cli("import", more, text=NOTE)
        said = self.run_cli("verify", more, "--against", same, code=NO)
        self.assertIn(f"and more: the first is entry {n + 1} of ", said)
        said = self.run_cli("verify", same, "--against", more, code=NO)
        self.assertIn(f"lacks what the copy has: the first is entry {n + 1} of ", said)
        # Written apart from there on, at the same bench: the same number, another entry.
        self.run_cli("import", other, text=NOTE.replace("more", "other"))
        answer = self.verify(other, "--against", more)
        self.assertEqual(answer["first_entry_that_differs"], n + 1)
        self.assertIn("not the same", answer["fault"])
        self.run_cli("verify", same, "--against", self.path("nowhere.rakejob"), code=FILE)


if __name__ == "__main__":
    support.PROGRAM, support.MAKE_DEMO = sys.argv[1:3]
    unittest.main(argv=sys.argv[:1])
