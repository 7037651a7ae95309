"""Reference answers for where the fittings of a chain sit, plumb and on a leaning base.

Run with numpy and scipy from PyPI; writes placement_transforms.json beside itself. Nothing here is shared with the
program: poses are compositions of scipy.spatial.transform.Rotation (a least turn that lays one axis along another,
then a roll about it), lengths are those of the drainage patterns written out below, and clocks are read as the job
file tells them: on a joint steeper than 60 degrees they are read on the plan, 12 being +y and the hours clockwise looking
down; else 12 is up and the hours go clockwise looking downstream, towards the base.
"""

import json
import math
import pathlib
import sys

import numpy
import scipy
from scipy.spatial.transform import Rotation

SEED = 20260301
PITCH = math.atan(0.25 / 12)  # 1/4 in per ft, built into drainage patterns
Z = numpy.array([0.0, 0.0, 1.0])
SIDE = numpy.array([math.cos(PITCH), 0.0, math.sin(PITCH)])


def bend(laying, degrees, pitch=0.0):
    """A fitting entered from below at the origin's underside that turns the line towards +x."""
    turn = math.radians(degrees) - pitch
    return {"in": (laying, -Z), "out": (laying, numpy.array([math.sin(turn), 0.0, math.cos(turn)]))}


def tee(up, down, branch, side=SIDE):
    return {"down": (down, -Z), "up": (up, Z), "branch": (branch, side)}


X = numpy.array([1.0, 0.0, 0.0])
HALF = numpy.array([1.0, 0.0, 1.0]) / math.sqrt(2)
# Laying lengths, centre to stop, 3 in.
PATTERNS = {
    "3 1/4 bend": bend(3.0625, 90, PITCH),
    "3 long-turn 1/4 bend": bend(4.0625, 90, PITCH),
    "3 1/8 bend": bend(1.75, 45),
    "3 1/16 bend": bend(1.0, 22.5),
    "3 vent ell": bend(2.0, 90),
    "3x3x3 sanitary tee": tee(2.0, 3.0625, 3.0625),
    "3x3x3 vent tee": tee(2.0, 2.0, 2.0, X),
    "3x3x3 wye": tee(4.0625, 1.0, 4.0625, HALF),
    "3 coupling": {"in": (0.125, -Z), "out": (0.125, Z)},
}
WAYS = [
    ("3 1/4 bend", "in", "out"), ("3 long-turn 1/4 bend", "in", "out"), ("3 1/8 bend", "in", "out"),
    ("3 1/16 bend", "in", "out"), ("3 vent ell", "in", "out"), ("3x3x3 sanitary tee", "down", "up"),
    ("3x3x3 sanitary tee", "down", "branch"), ("3x3x3 sanitary tee", "up", "branch"),
    ("3x3x3 sanitary tee", "branch", "down"), ("3x3x3 vent tee", "branch", "up"), ("3x3x3 wye", "down", "branch"),
    ("3x3x3 wye", "branch", "down"), ("3 coupling", "in", "out"), ("3 1/4 bend", "out", "in"),
]


def least_turn(a, b):
    """The least rotation that lays unit vector a along unit vector b."""
    across = numpy.cross(a, b)
    sine, cosine = numpy.linalg.norm(across), float(a @ b)
    if sine < 1e-14:
        if cosine > 0:
            return Rotation.identity()
        other = X if abs(a[0]) < 0.9 else numpy.array([0.0, 1.0, 0.0])
        across = numpy.cross(a, other)
        return Rotation.from_rotvec(math.pi * across / numpy.linalg.norm(across))
    return Rotation.from_rotvec(across / sine * math.atan2(sine, cosine))


def square(v, axis):
    v = v - axis * (v @ axis)
    return v / numpy.linalg.norm(v)


def hand(axis, clock):
    """Where a clock in degrees points, square to a joint whose axis looks away from the base."""
    if abs(axis[2]) > 0.866:
        # The upright plane that heads there on the plan cuts the plane square to the axis.
        heading = Rotation.from_rotvec(-Z * math.radians(clock)).apply([0.0, 1.0, 0.0])
        way = numpy.cross(numpy.cross(Z, heading), axis)
        way /= numpy.linalg.norm(way)
        return way if way @ heading > 0 else -way
    # Looking downstream.
    return Rotation.from_rotvec(-axis * math.radians(clock)).apply(square(Z, axis))


def clock_axis(ports, enter, leave):
    """A fitting entered the usual way points its clock by its own side (+x); else by the port the run leaves through."""
    axis = ports[enter][1]
    if enter in ("in", "down"):
        return square(X, axis)
    return square(ports[leave][1], axis)


def chain(start, axis, fits):
    """Centres of a chain's fittings, from an open end's stop and axis, and the axis and stop of the last way out."""
    point, centres = start, []
    for fit in fits:
        ports = PATTERNS[fit["fit"]]
        laying, enters = ports[fit["enter"]]
        stop = point + axis * fit["cut"]
        turn = least_turn(enters, -axis)
        now, wanted = turn.apply(clock_axis(ports, fit["enter"], fit["leave"])), hand(axis, fit["clock"])
        roll = math.atan2(numpy.cross(now, wanted) @ axis, now @ wanted)
        turn = Rotation.from_rotvec(axis * roll) * turn
        centre = stop - turn.apply(enters * laying)
        centres.append(centre)
        laying, leaves = ports[fit["leave"]]
        axis = turn.apply(leaves)
        point = centre + axis * laying
    return centres, point, axis


def random_fits(random):
    """A chain whose joints keep off the steepness at which the clock is read another way."""
    while True:
        fits = []
        for _ in range(int(random.integers(3, 8))):
            fit, enter, leave = WAYS[int(random.integers(len(WAYS)))]
            fits.append({"fit": fit, "enter": enter, "leave": leave, "cut": float(random.integers(48, 480)) / 16,
                         "clock": round(float(random.uniform(0, 360)), 3)})
        axes = [chain(numpy.zeros(3), Z, fits[:n])[2] for n in range(len(fits))]
        if all(abs(abs(a[2]) - 0.866) > 0.02 for a in axes):
            return fits


def main():
    random = numpy.random.default_rng(SEED)
    chains = []
    for _ in range(24):
        fits = random_fits(random)
        base = [float(random.integers(-1600, 1600)) / 16, float(random.integers(-1600, 1600)) / 16,
                float(random.integers(-1600, 0)) / 16]
        rim = numpy.array(base)
        # Gaps from strings hung east and north of the barrel, at its mark and 64 above it.
        east, north = [3.0 + float(random.integers(-48, 49)) / 16 for _ in range(2)]
        leans = numpy.array([(3.0 - east) / 64, (3.0 - north) / 64, 1.0])
        leans /= numpy.linalg.norm(leans)
        # The stop of a 3 in hub lies 2-3/4 below its rim.
        drawn, end, axis = chain(rim - 2.75 * Z, Z, fits)
        turn = least_turn(Z, leans)
        found = [rim + turn.apply(p - rim) for p in drawn]
        chains.append({"base": base, "east": east, "north": north, "fits": fits,
                       "drawn": [p.tolist() for p in drawn], "found": [p.tolist() for p in found],
                       "end": end.tolist(), "axis": axis.tolist(),
                       "found_end": (rim + turn.apply(end - rim)).tolist(), "found_axis": turn.apply(axis).tolist()})
    out = {"library": {"python": sys.version.split()[0], "numpy": numpy.__version__, "scipy": scipy.__version__,
                         "seed": SEED}, "chains": chains}
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(out, indent=1) + "\n")


if __name__ == "__main__":
    main()
