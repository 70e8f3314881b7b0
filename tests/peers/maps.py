#!/usr/bin/env python3
"""Evenhand's control points beside other ways of placing them on the same ideal maps, one core each.

    python3 -m venv peers && peers/bin/pip install numpy pwlf
    peers/bin/python tests/peers/maps.py

Prints the worst error and the time of points at even readings, points at even outputs (quantiles of the
wanted output), and the piecewise linear fits of pwlf with the ends fixed, by its global search and by its
fast one, beside Evenhand's.
"""

import json
import os
import subprocess
import tempfile
import time
import warnings
from pathlib import Path

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[threads] = "1"

import numpy as np  # noqa: E402  (after the thread counts)
import pwlf  # noqa: E402

PROJECT = Path(__file__).resolve().parents[2]
SEARCHED = 4  # maps given to the global search, which takes its time
DENSE = np.linspace(0, 1, 4001)


def worst(x, y, ideal):
    grid = np.union1d(np.union1d(DENSE, x), ideal[:, 0])
    return np.abs(np.interp(grid, x, y) - np.interp(grid, ideal[:, 0], ideal[:, 1])).max()


def even_readings(ideal, most):
    x = np.linspace(0, 1, most)
    return x, np.interp(x, ideal[:, 0], ideal[:, 1])


def even_outputs(ideal, most):
    y = np.linspace(0, 1, most)
    # The first reading at which each output is reached; the last point is the end.
    x = np.array([ideal[np.argmax(ideal[:, 1] >= v - 1e-12), 0] for v in y])
    x[-1] = 1.0
    inner = np.interp(y[1:-1], ideal[:, 1], ideal[:, 0])
    x[1:-1] = np.maximum.accumulate(inner)
    full = ideal[np.argmax(ideal[:, 1] >= 1.0), 0]
    if full < 1.0:
        # One point is spent on the reading at which the output is full.
        y = np.append(np.linspace(0, 1, most - 1), 1.0)
        x = np.append(np.interp(y[:-1], ideal[:, 1], ideal[:, 0]), 1.0)
        x[0], x[-2] = 0.0, full
    return x, y


def fitted(fast):
    def points(ideal, most):
        fit = pwlf.PiecewiseLinFit(ideal[:, 0], ideal[:, 1], seed=1)
        if fast:
            fit.fitfast(most - 1, pop=3)
            x = fit.fit_breaks
        else:
            x = fit.fit(most - 1, x_c=[0.0, 1.0], y_c=[0.0, 1.0])
        return x, fit.predict(x)

    return points


def main():
    # Segments without a sample of their own make its normal matrices singular, over and over.
    warnings.simplefilter("ignore")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        command = ["cargo", "bench", "-q", "-p", "evenhand-tests", "--bench", "map_peers", "--", name]
        subprocess.run(command, cwd=PROJECT, check=True)
        found = json.loads((folder / "evenhand.json").read_text())
        maps = {
            row["map"]: np.loadtxt(folder / f"{row['map']:03}.csv", delimiter=",") for row in found
        }
    ways = [
        ("even readings", even_readings, len(maps)),
        ("even outputs", even_outputs, len(maps)),
        ("pwlf, fast", fitted(True), len(maps)),
        ("pwlf, global", fitted(False), SEARCHED),
    ]
    print(f"numpy {np.__version__}, pwlf {pwlf.__version__}, {len(maps)} ideal maps\n")
    for most in sorted({row["most"] for row in found}):
        own = [row for row in found if row["most"] == most]
        errors = {
            row["map"]: worst(*np.array(row["points"]).T, maps[row["map"]]) for row in own
        }
        seconds = np.median([row["seconds"] for row in own])
        print(f"{most} points                 worst error %  (median, highest)   milliseconds")
        values = np.array(list(errors.values()))
        print(f"  {'Evenhand':<20} {100 * np.median(values):10.3f} {100 * values.max():8.3f} {1e3 * seconds:20.3f}")
        best = np.full(len(maps), np.inf)
        for label, points, count in ways:
            theirs, times = [], []
            for number in range(count):
                begin = time.perf_counter()
                x, y = points(maps[number], most)
                times.append(time.perf_counter() - begin)
                error = worst(x, y, maps[number])
                theirs.append(error)
                best[number] = min(best[number], error)
            took = np.median(times)
            print(
                f"  {label:<20} {100 * np.median(theirs):10.3f} {100 * np.max(theirs):8.3f} {1e3 * took:20.3f}"
                f"   {np.median([theirs[n] / errors[n] for n in range(count)]):6.1f} times the error,"
                f" {took / seconds:9.1f} times as long"
            )
        parts = np.array([errors[n] / best[n] for n in range(len(maps))])
        searched = parts[:SEARCHED]
        print(
            f"  Evenhand's error as a part of the best of the others: median {np.median(parts):.2f},"
            f" highest {parts.max():.2f}; where pwlf searched globally {np.median(searched):.2f}\n"
        )


if __name__ == "__main__":
    main()
