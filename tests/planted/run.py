#!/usr/bin/env python3
"""Plants faults, one at a time, and asks whether any test of their crate, or any outside check, notices.

    python3 tests/planted/run.py                      the list in faults.toml
    python3 tests/planted/run.py --crate fitting --mutants 40 --seed 1
                                                      faults drawn by seed besides

Works on a copy of the project in a temporary folder; the project itself is never touched. Prints a line a fault:
caught, SURVIVED, or no fault (it does not compile, or the text to replace is not there once). Exits with 1 where one
survived or could not be planted. No part of the usual tests: it takes minutes for each few faults.
"""

import argparse
import os
import pathlib
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import tomllib

ROOT = pathlib.Path(__file__).resolve().parents[2]
# Tests that take longer than this hang.
SECONDS = 600
# What a mutant changes: an operator, a comparison, a number, a call.
MUTATIONS = [
    (r" \+ ", " - "),
    (r" - ", " + "),
    (r" \* ", " / "),
    (r" / ", " * "),
    (r" < ", " > "),
    (r" > ", " < "),
    (r"\.min\(", ".max("),
    (r"\.max\(", ".min("),
    (r"\b0\.5\b", "0.25"),
    (r"\b1\.0\b", "2.0"),
    (r" && ", " || "),
    (r"\.powi\(2\)", ".abs()"),
]


def listed(crate):
    faults = tomllib.loads((ROOT / "tests/planted/faults.toml").read_text())["fault"]
    return [f for f in faults if crate in (None, f["crate"])]


def drawn(crate, count, seed):
    """Faults at random places of a crate's sources, tests and comments excepted."""
    places = []
    for path in sorted((ROOT / "crates" / crate / "src").rglob("*.rs")):
        code = path.read_text().split("#[cfg(test)]")[0]
        for number, line in enumerate(code.splitlines()):
            if line.strip().startswith("//"):
                continue
            for pattern, to in MUTATIONS:
                places += [(path, number, m.span(), to) for m in re.finditer(pattern, line)]
    random.Random(seed).shuffle(places)
    faults = []
    for path, number, (start, end), to in places[:count]:
        lines = path.read_text().splitlines(keepends=True)
        old = lines[number]
        lines[number] = old[:start] + to + old[end:]
        faults.append(
            {
                "crate": crate,
                "file": str(path.relative_to(ROOT)),
                "what": f"line {number + 1}: {old.strip()} -> {lines[number].strip()}",
                "text": "".join(lines),
            }
        )
    return faults


def planted(fault, copy):
    """The file with the fault in it; none where the text to replace does not stand there exactly once."""
    if "text" in fault:
        return fault["text"]
    text = (copy / fault["file"]).read_text()
    if text.count(fault["from"]) != 1:
        return None
    return text.replace(fault["from"], fault["to"])


def passes(arguments, copy, target):
    """Whether tests pass; what never ends does not."""
    run = ["cargo", "test", "--target-dir", str(target), *arguments]
    tests = subprocess.Popen(
        run, cwd=copy, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        return tests.wait(timeout=SECONDS) == 0
    except subprocess.TimeoutExpired:
        os.killpg(tests.pid, signal.SIGKILL)
        tests.wait()
        return False


def judged(fault, copy, target):
    path = copy / fault["file"]
    whole = path.read_text()
    text = planted(fault, copy)
    if text is None:
        return "no fault"
    path.write_text(text)
    try:
        own = ["-p", f"evenhand-{fault['crate']}"]
        if not passes(["--no-run", *own], copy, target):
            return "no fault"
        # What is proved against outside sources stands in a package of its own.
        outside = ["-p", "evenhand-tests", "--test", "outside"]
        noticed = not (passes(own, copy, target) and passes(outside, copy, target))
        return "caught" if noticed else "SURVIVED"
    finally:
        path.write_text(whole)


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--crate", help="only faults of this crate")
    arguments.add_argument("--mutants", type=int, default=0, help="so many faults drawn by seed besides")
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--skip", type=int, default=0, help="go on after so many")
    arguments.add_argument("--target-dir", type=pathlib.Path, help="a folder of builds to use and keep")
    asked = arguments.parse_args()
    faults = listed(asked.crate)
    if asked.mutants:
        faults += drawn(asked.crate or "fitting", asked.mutants, asked.seed)
    faults = faults[asked.skip :]
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = pathlib.Path(folder) / "project"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns("target", ".git"))
        for fault in faults:
            result = judged(fault, copy, asked.target_dir or copy / "target")
            bad += result == "SURVIVED" or (result == "no fault" and "text" not in fault)
            print(f"{result:9} {fault['file']}: {fault['what']}", flush=True)
    print(f"{len(faults)} faults, {bad} not noticed")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
