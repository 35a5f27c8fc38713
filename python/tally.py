"""Counts checks and prints each as it is done."""

import importlib
import os
from collections import Counter


class Tally:
    """What passed, failed and was not run."""

    def __init__(self, quiet=False):
        self.counts = Counter()
        # What failed, by the words of the check.
        self.faults = []
        self.quiet = quiet

    def check(self, what, holds, found=""):
        word = "passed" if holds else "failed"
        self.counts[word] += 1
        if not holds:
            self.faults.append(what)
        self.say(f"{'ok  ' if holds else 'FAIL'}  {what}{': ' if found else ''}{found}")

    def near(self, what, found, wanted, allowed):
        off = abs(found - wanted)
        self.check(what, off <= allowed, f"{found:.9g}, wanted {wanted:.9g}, off {off:.2g}, allowed {allowed:.2g}")

    def not_run(self, what, why):
        word = "failed" if os.environ.get("CI") == "true" else "not run"
        self.counts[word] += 1
        self.say(f"{word:<4}  {what}: {why}")

    def say(self, line):
        if not self.quiet:
            print(line, flush=True)

    def library(self, name, what):
        """The library, or None after saying that the check could not run."""
        try:
            return importlib.import_module(name)
        except (ImportError, OSError) as fault:
            self.not_run(what, f"{name} cannot be loaded: {fault}")
            return None

    def finish(self):
        passed, failed, not_run = (self.counts[word] for word in ("passed", "failed", "not run"))
        print(f"{passed} passed, {failed} failed" + (f", {not_run} not run" if not_run else ""))
        return 1 if failed else 0
