"""Calculations of the registry asked from Python, and random cases held against SciPy.

A test file makes its cases from a fixed seed, so that what fails once fails again.
"""
import json
import math
import random
import subprocess
import sys


class Calculations:
    def __init__(self, program):
        self.process = subprocess.Popen(
            [program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, name, given):
        """Results before rounding; a refusal has the members refused and field."""
        self.process.stdin.write(json.dumps({"calculation": name, "in": given}) + "\n")
        self.process.stdin.flush()
        answer = json.loads(self.process.stdout.readline())
        return answer["results"] if "results" in answer else answer

    def close(self):
        self.process.stdin.close()
        return self.process.wait()


class Tap:
    """One line for a calculation: how many random cases, and the first that went wrong."""

    def __init__(self, title):
        self.title = title
        self.number = 0
        self.failed = 0
        self.calculations = Calculations(sys.argv[1])
        print("TAP version 13")

    def cases(self, what, count, one, seed=112):
        """one(random, ask) -> None, or a text that says what is wrong."""
        self.number += 1
        source = random.Random(seed)
        wrong = None
        for i in range(count):
            wrong = one(source, self.calculations.ask)
            if wrong is not None:
                break
        if wrong is None:
            print(f"ok {self.number} - {what}: {count} random cases against SciPy")
        else:
            self.failed += 1
            print(f"not ok {self.number} - {what}: case {i} of {count}: {wrong}")
        sys.stdout.flush()

    def end(self):
        print(f"1..{self.number}")
        if self.calculations.close() != 0:
            print("Bail out! The program that calculates failed.")
            self.failed += 1
        sys.exit(1 if self.failed else 0)


def far(got, want, relative, absolute=0.0):
    """None where got is near enough, otherwise a text."""
    if isinstance(got, (int, float)) and math.isclose(got, want, rel_tol=relative, abs_tol=absolute):
        return None
    return f"{got!r}, but SciPy gives {want!r}"
