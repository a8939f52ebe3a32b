"""Made-up originals whose line is known, and readings off them by geometry alone."""

from __future__ import annotations

import numpy as np

TURN_MM, LENGTH_MM = 4000.0, 900.0
TIGHTEST_MM = 1100.0


class Original:
    """A smooth S whose curvature is a sine along it, its points summed by Simpson's rule on a fine grid."""

    def __init__(self, symmetric=False):
        s = np.linspace(0.0, LENGTH_MM, 9001)
        share = s / LENGTH_MM
        bend = np.cos(2 * np.pi * share) if symmetric else np.sin(2 * np.pi * share)
        swing = np.sin(2 * np.pi * share) if symmetric else 1.0 - np.cos(2 * np.pi * share)
        self.s = s
        self.bend = bend / TIGHTEST_MM + 1.0 / TURN_MM
        heading = swing * LENGTH_MM / (2 * np.pi) / TIGHTEST_MM + s / TURN_MM
        way = np.exp(1j * heading)
        middle = np.exp(1j * np.interp(0.5 * (s[1:] + s[:-1]), s, heading))
        steps = (way[:-1] + 4 * middle + way[1:]) / 6 * np.diff(s)
        points = np.concatenate([[0], np.cumsum(steps)])
        self.points = np.column_stack([points.real, points.imag])
        self.heading = heading

    def at(self, s):
        return np.column_stack([np.interp(s, self.s, self.points[:, k]) for k in (0, 1)])

    def off_edge(self, askew=0.02):
        """x and y in the frame of a straight edge along the chord, laid a little askew."""
        start, way = self.points[0], self.points[-1] - self.points[0]
        angle = np.arctan2(way[1], way[0]) + askew
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        return (self.points - start) @ turn.T

    def rises(self, places, chord):
        """Rise at the middle of a chord whose feet are both on the line, found by halving."""
        out = []
        for place in places:
            low, high = 0.4 * chord, 0.6 * chord
            for _ in range(50):
                reach = 0.5 * (low + high)
                one, other = self.at(np.array([place - reach, place + reach]))
                low, high = (reach, high) if np.hypot(*(other - one)) < chord else (low, reach)
            way, arm = other - one, self.at(np.array([place]))[0] - one
            out.append((arm[0] * way[1] - arm[1] * way[0]) / np.hypot(*way))
        return np.array(out)


def off_mm(points, known):
    """(n,) how far measured points lie to the left of the line that is known, laid on it as well as can be:
    both as complex numbers, the best turn is the phase of their product."""
    z = points[:, 0] + 1j * points[:, 1]
    at = known.at(np.linspace(0.0, known.s[-1], len(points)))
    w = at[:, 0] + 1j * at[:, 1]
    z, w = z - z.mean(), w - w.mean()
    z = z * np.exp(1j * np.angle(np.vdot(z, w)))
    heading = np.interp(np.linspace(0.0, known.s[-1], len(points)), known.s, known.heading)
    return ((z - w) * np.exp(-1j * (heading + np.angle(1.0)))).imag


def document(by, known, rng, sd, **more):
    """Readings off the original with errors of sd."""
    if by == "rise over a chord":
        chord = 150.0
        places = np.linspace(chord / 2, LENGTH_MM - chord / 2, 25)
        readings = np.column_stack([places, known.rises(places, chord) + rng.normal(0, sd, len(places))])
        more = {"chord_mm": chord, "length_mm": LENGTH_MM, **more}
    elif by == "straight edge":
        line = known.off_edge()
        places = np.repeat(np.linspace(line[0, 0], line[-1, 0], 20), 2)
        values = np.interp(places, line[:, 0], line[:, 1]) + rng.normal(0, sd, len(places))
        readings = np.column_stack([places, values])
    else:
        s = np.linspace(0.0, LENGTH_MM, 50)
        heading = np.interp(s, known.s, known.heading)
        left = np.column_stack([-np.sin(heading), np.cos(heading)])
        readings = known.at(s) + left * rng.normal(0, sd, (50, 1))
    return {"by": by, "reading_sd_mm": sd, "readings_mm": readings.tolist(), **more}
