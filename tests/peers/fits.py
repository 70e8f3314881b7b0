#!/usr/bin/env python3
"""Evenhand's fit beside scipy and scikit-learn on the same simulated benches, one core each.

    python3 -m venv peers && peers/bin/pip install scipy scikit-learn
    peers/bin/python tests/peers/fits.py

Prints times, their ratio to Evenhand's, and how near each comes to the true responses. Four ways to do
the work with general-purpose libraries are run: a ramp with an exponent by least squares, isotonic
regression joined by a monotone cubic, a penalised monotone spline with its smoothness chosen by
generalised cross-validation, and the model that Evenhand itself fits. Intervals are bootstrapped with as many resamples as Evenhand makes.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "RAYON_NUM_THREADS"):
    os.environ[threads] = "1"

import numpy as np  # noqa: E402  (after the thread counts)
import scipy  # noqa: E402
import sklearn  # noqa: E402
from scipy.interpolate import PchipInterpolator  # noqa: E402
from scipy.optimize import least_squares, nnls  # noqa: E402
from sklearn.isotonic import IsotonicRegression  # noqa: E402

PROJECT = Path(__file__).resolve().parents[2]
FEW, MANY = 50, 1000
TIMED_BENCHES = 50  # of the 1,000; their time is scaled up
SEED = 1


def read(folder, number):
    lines = (folder / f"{number:03}.csv").read_text().splitlines()
    rows = [line.split(",")[:2] for line in lines if not line.startswith("#")][1:]
    samples = np.array(rows, dtype=float)
    samples = samples[np.argsort(samples[:, 0], kind="stable")]
    truth = (folder / f"{number:03}.truth.csv").read_text().splitlines()
    onset, saturation = (float(line.split("=")[1]) for line in truth[:2])
    curve = np.array([line.split(",") for line in truth[2:]], dtype=float)
    return samples[:, 0], samples[:, 1], onset, saturation, curve


class Ramp:
    """Onset, saturation and exponent by least squares (scipy.optimize.least_squares, trf)."""

    name = "scipy least_squares, ramp with exponent"

    def __init__(self, force, reading, start=None):
        def residual(p):
            part = np.clip((force - p[0]) / max(p[1], 1e-3), 1e-12, 1.0)
            return part ** np.exp(p[2]) - reading

        if start is None:
            inside = (reading > 0) & (reading < 1)
            low, high = force[inside].min(), force[inside].max()
            start = np.array([low, high - low, -0.3])
        self.found = least_squares(residual, start, x_scale=[1.0, 10.0, 0.1]).x
        self.onset = self.found[0]
        self.saturation = self.found[0] + self.found[1]

    def again(self, force, reading):
        return Ramp(force, reading, self.found)

    def __call__(self, force):
        part = np.clip((force - self.onset) / self.found[1], 0.0, 1.0)
        return part ** np.exp(self.found[2])


class Isotonic:
    """scikit-learn's isotonic regression joined by scipy's monotone cubic."""

    name = "scikit-learn IsotonicRegression, scipy PCHIP"

    def __init__(self, force, reading):
        level = IsotonicRegression(y_min=0.0, y_max=1.0).fit_transform(force, reading)
        force, first = np.unique(np.concatenate([[0.0], force]), return_index=True)
        level = np.concatenate([[0.0], level])[first]
        self.curve = PchipInterpolator(force, level)
        self.end = force[-1]
        self.onset = force[level <= 0.0].max()
        self.saturation = force[level >= 1.0].min() if (level >= 1.0).any() else force[-1]

    def again(self, force, reading):
        return Isotonic(force, reading)

    def __call__(self, force):
        return np.clip(self.curve(np.minimum(force, self.end)), 0.0, 1.0)


class Spline:
    """A penalised monotone spline: increments by scipy.optimize.nnls, smoothness by GCV."""

    name = "scipy nnls, penalised monotone spline"
    SMOOTHNESS = (1e-4, 1e-3, 1e-2, 1e-1, 1.0, 10.0)
    KNOTS = 20

    def __init__(self, force, reading, smoothness=None):
        inside = (reading > 0) & (reading < 1)
        low, high = force[inside].min(), force[inside].max()
        zero, full = force[reading <= 0], force[reading >= 1]
        self.start = max(zero.max() if len(zero) else 0.0, low - 0.1 * (high - low))
        self.stop = full.min() if len(full) else high
        keep = (force >= self.start) & (force <= self.stop)
        design = self.rises(force[keep])
        penalty = np.diff(np.eye(self.KNOTS), 2, axis=0)
        penalty = np.hstack([np.zeros((len(penalty), 1)), penalty])
        choices = self.SMOOTHNESS if smoothness is None else (smoothness,)
        best = np.inf
        for choice in choices:
            stacked = np.vstack([design, np.sqrt(choice) * penalty])
            right = np.concatenate([reading[keep], np.zeros(len(penalty))])
            found, _ = nnls(stacked, right)
            if len(choices) > 1:
                hat = design @ np.linalg.pinv(stacked)[:, : keep.sum()]
                left = 1.0 - np.trace(hat) / keep.sum()
                score = np.mean((design @ found - reading[keep]) ** 2) / max(left, 1e-6) ** 2
            else:
                score = 0.0
            if score < best:
                best, self.found, self.smoothness = score, found, choice
        grid = np.linspace(self.start, self.stop, 500)
        value = self.rises(grid) @ self.found
        above = np.flatnonzero(value > 0.0025)
        below = np.flatnonzero(value < 0.9975)
        self.onset = grid[above[0]] if len(above) else self.stop
        self.saturation = grid[below[-1]] if len(below) else self.start

    def rises(self, force):
        part = np.clip((force - self.start) / max(self.stop - self.start, 1e-9), 0.0, 1.0)
        place = np.sqrt(part)[:, None] * self.KNOTS - np.arange(self.KNOTS)
        return np.hstack([np.ones((len(part), 1)), np.clip(place, 0.0, 1.0)])

    def again(self, force, reading):
        return Spline(force, reading, self.smoothness)

    def __call__(self, force):
        value = np.clip(self.rises(force) @ self.found, 0.0, 1.0)
        return np.where(force < self.start, 0.0, np.where(force > self.stop, 1.0, value))


class Censored:
    """The model that Evenhand fits, by scipy.optimize.least_squares: a censored response whose slope is
    the exponential of a penalised spline, at one fixed smoothness and without robust weights."""

    name = "scipy least_squares, Evenhand's own model"
    NODES = np.linspace(0.0, 1.0, 41) ** 2.8
    HATS = 14
    ROUGHNESS, STEEPNESS, READING = 0.15, 0.3, 0.004

    def basis(z):
        trends = [np.log1p(z / 0.003) - 0.5 * np.log1p(1 / 0.003), z - 0.5, np.log1p(z / 0.1) - 0.5 * np.log1p(10)]
        place = z ** (1 / 2.2) * 13
        hats = [np.clip(1.0 - np.abs(place - k), 0.0, None) for k in range(14)]
        return np.stack(trends + hats, axis=1)

    AT_NODES = basis(NODES)
    AT_MIDDLES = basis(0.5 * (NODES[1:] + NODES[:-1]))

    def __init__(self, force, reading, start=None):
        zero, full = reading <= 0, reading >= 1
        inside = ~zero & ~full
        bends = np.diff(np.eye(self.HATS), 2, axis=0) / self.ROUGHNESS

        def residual(p):
            latent = self.latent(p, force)
            miss = np.where(inside, reading - latent, 0.0)
            miss = np.where(zero, np.minimum(-0.0032 - latent, 0.0), miss)
            miss = np.where(full, np.maximum(1.0032 - latent, 0.0), miss)
            prior = [p[2:5] / [self.STEEPNESS, 2.0, 1.0], p[5:] / 3.0, bends @ p[5:]]
            return np.concatenate([miss / self.READING] + prior)

        if start is None:
            low, high = force[inside].min(), force[inside].max()
            start = np.zeros(5 + self.HATS)
            start[:2] = 0.9 * low, np.log(high - low)
        self.found = least_squares(residual, start, x_scale="jac").x
        self.onset = self.found[0]
        self.saturation = self.found[0] + np.exp(self.found[1])

    def latent(self, p, force):
        z = (force - p[0]) / np.exp(p[1])
        slope = np.exp(np.clip(self.AT_NODES @ p[2:], -30, 30))
        middle = np.exp(np.clip(self.AT_MIDDLES @ p[2:], -30, 30))
        sixth = np.diff(self.NODES) / 6
        rise = np.concatenate([[0.0], np.cumsum(sixth * (slope[1:] + 4 * middle + slope[:-1]))])
        slope, rise = slope / rise[-1], rise / rise[-1]
        value = np.interp(z, self.NODES, rise)
        return np.where(z < 0, slope[0] * z, np.where(z > 1, 1 + slope[-1] * (z - 1), value))

    def again(self, force, reading):
        return Censored(force, reading, self.found)

    def __call__(self, force):
        return np.clip(self.latent(self.found, force), 0.0, 1.0)


def resampled(kind, force, reading, count):
    """Estimate with bootstrapped intervals of onset, saturation and 400 rows of the curve."""
    random = np.random.default_rng(SEED)
    first = kind(force, reading)
    rows = np.linspace(0.0, 1.05 * force[-1], 400)
    fitted = first(force)
    residual = reading - fitted
    draws = np.empty((count, 2 + len(rows)))
    for draw in draws:
        other = fitted + residual[random.integers(len(force), size=len(force))]
        other = np.where((reading <= 0) | (reading >= 1), reading, np.clip(other, 1e-4, 1 - 1e-4))
        again = first.again(force, other)
        draw[:2] = again.onset, again.saturation
        draw[2:] = again(rows)
    np.quantile(draws, [0.025, 0.975], axis=0)
    return first


def seconds(work, repeats):
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return float(np.median(times))


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp())
    command = ["cargo", "bench", "-p", "evenhand-tests", "--bench", "peers", "--", str(folder)]
    subprocess.run(command, cwd=PROJECT, check=True, stderr=subprocess.DEVNULL)
    ours = json.loads((folder / "evenhand.json").read_text().replace("NaN", "null"))
    count = len(ours["found"])
    benches = [read(folder, number) for number in range(count)]
    force, reading = benches[ours["typical"]][:2]

    print(f"scipy {scipy.__version__}, scikit-learn {sklearn.__version__}, numpy {np.__version__};")
    print(f"one core each; a bench of {len(force)} samples; ratio to Evenhand in brackets\n")
    heads = (f"one, {FEW} resamples", f"one, {MANY} resamples", f"1000, {FEW} resamples")
    print(f"{'':46}" + "".join(f"{head:>24}" for head in heads))
    base = (ours["one"], ours["resampled"], ours["benches"])
    print(f"{'Evenhand':46}" + "".join(f"{t:14.4f} s        " for t in base))
    errors = {"Evenhand": np.array(ours["found"], dtype=float)}
    for kind, share in ((Ramp, 1), (Isotonic, 1), (Spline, 1), (Censored, 20)):
        # What takes minutes is timed on a share of the work and scaled up.
        some = benches[: TIMED_BENCHES // share]
        many = MANY // share
        times = (
            seconds(lambda: resampled(kind, force, reading, FEW), 3),
            seconds(lambda: resampled(kind, force, reading, many), 1) * MANY / many,
            seconds(lambda: [resampled(kind, b[0], b[1], FEW) for b in some], 1) * 1000 / len(some),
        )
        cells = "".join(f"{t:14.4f} s ({t / b:4.0f}x) " for t, b in zip(times, base))
        print(f"{kind.name:46}{cells}")
        found = []
        for force_gf, read_as, _, _, curve in benches:
            fitted = kind(force_gf, read_as)
            rms = np.sqrt(np.mean((fitted(curve[:, 0]) - curve[:, 1]) ** 2))
            found.append((fitted.onset, fitted.saturation, rms))
        errors[kind.name] = np.array(found)

    print(f"\nmedian errors on {count} benches {'':23}onset, gf   saturation, %   curve rms, %")
    truths = np.array([(b[2], b[3]) for b in benches])
    for name, found in errors.items():
        onset = np.median(np.abs(found[:, 0] - truths[:, 0]))
        saturation = np.nanmedian(np.abs(found[:, 1] / truths[:, 1] - 1.0)) * 100
        print(f"{name:46}{onset:14.2f}{saturation:16.2f}{100 * np.median(found[:, 2]):15.2f}")


if __name__ == "__main__":
    main()
