"""What the tests of the report layer share: the program, the demonstration job, its own record."""

import json
import os
import shutil
import subprocess
import tempfile
import unittest

DONE, NO, USAGE, FILE, INPUT, OUTPUT = range(6)
PROGRAM = MAKE_DEMO = LOCALES = ""


class Case(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.mkdtemp()
        cls.environment = dict(os.environ, XDG_STATE_HOME=cls.folder, XDG_CONFIG_HOME=cls.folder,
                               LC_ALL="C.UTF-8", LANGUAGE="en", RAKELIGHT_LOCALEDIR=LOCALES)
        done = subprocess.run([MAKE_DEMO, cls.folder], capture_output=True, text=True, check=True,
                              env=cls.environment)
        cls.demo = done.stdout.split("\n")[0]

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

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
        return done.stdout.decode() if code == DONE else done.stderr.decode()

    def entries(self, path):
        """Every entry of the logbook as the exchange form tells it."""
        return [json.loads(line) for line in self.run_cli("export", path).splitlines()]
