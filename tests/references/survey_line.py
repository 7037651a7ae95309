"""Reference answers for the straight line through the gaps of a plumb string, and for the lean of two of them.

Run with numpy and scipy from PyPI; writes survey_line.json beside itself. Nothing here is shared with the program:
lines come from scipy.optimize.curve_fit with absolute errors, tails from scipy.stats.chi2, leans from one
least-squares problem over the readings of both strings at once.
"""

import json
import pathlib
import sys

import numpy
import scipy
from scipy.optimize import curve_fit
from scipy.stats import chi2 as chi_square

# Height, gap and standard error of each reading, inches.
LINES = [
    ("two heights, equal errors", [(12, 3.0, 1 / 16), (60, 2.375, 1 / 16)]),
    ("two heights, the upper read worse", [(0, 2.5, 1 / 32), (84, 3.25, 1 / 8)]),
    ("two heights far above the datum", [(300.5, 1.125, 1 / 16), (348.25, 1.3125, 1 / 16)]),
    ("three heights, straight within error", [(12, 3.0, 1 / 16), (36, 2.6875, 1 / 16), (60, 2.4375, 1 / 16)]),
    ("three heights, one reading off", [(12, 3.0, 1 / 16), (36, 2.1875, 1 / 16), (60, 2.375, 1 / 16)]),
    ("three heights, exactly on a line", [(0, 2.0, 1 / 16), (32, 2.5, 1 / 16), (64, 3.0, 1 / 16)]),
    ("three heights, three errors", [(6, 4.125, 1 / 32), (40, 4.5, 1 / 16), (90, 4.9375, 3 / 16)]),
    ("four heights, bent", [(0, 2.0, 1 / 16), (30, 2.0, 1 / 16), (60, 2.4375, 1 / 16), (90, 3.3125, 1 / 16)]),
    ("four heights, the third off",
     [(8, 1.5, 1 / 16), (32, 1.75, 1 / 32), (56, 2.75, 1 / 16), (80, 2.1875, 1 / 8)]),
    ("four heights out of order, below the datum",
     [(24, 3.0625, 1 / 16), (-48, 2.125, 1 / 16), (0, 2.75, 1 / 32), (-20, 2.5, 1 / 16)]),
    ("one height read three times", [(10, 2.0, 1 / 16), (10, 2.0625, 1 / 16), (10, 1.9375, 1 / 16), (70, 2.6, 1 / 16)]),
    ("five heights, uneven", [(3, 5.0, .05), (17, 4.9, .07), (29, 4.85, .02), (61, 4.62, .11), (88.5, 4.41, .04)]),
    ("five heights, the lowest off", [(0, 3.5, .06), (20, 2.1, .06), (40, 2.2, .06), (60, 2.31, .06), (80, 2.4, .06)]),
    ("six heights, equal errors",
     [(0, 2.0, .0625), (18, 2.125, .0625), (36, 2.1875, .0625), (54, 2.375, .0625), (72, 2.4375, .0625),
      (90, 2.625, .0625)]),
    ("six heights, plumb", [(5, 2.0, .03), (15, 2.02, .06), (25, 1.97, .03), (35, 2.01, .09), (45, 2.0, .03),
                            (55, 1.99, .03)]),
    ("six heights, hopeless", [(0, 2.0, .01), (20, 2.5, .01), (40, 2.0, .01), (60, 2.5, .02), (80, 2.0, .01),
                               (100, 2.5, .01)]),
]

# Two directions from the barrel to the string (degrees counter-clockwise from +x) with the lines they use.
LEANS = [
    ("square to the axes", (90, 3), (0, 0)),
    ("square to each other, turned", (37, 6), (127, 11)),
    ("oblique", (10, 13), (75, 8)),
    ("oblique, past square", (-30, 1), (115, 9)),
    ("opposite sides of square", (180, 14), (-90, 3)),
    ("barely apart", (20, 11), (31, 13)),
    ("barely apart, across", (20, 13), (189, 2)),
]

# Chi-square and degrees of freedom.
TAILS = [(x, k) for k in (1, 2, 3, 4, 5, 8, 15, 40) for x in (1e-6, .01, .5, 1.5, 3.84, 7.0, 12.0, 30.0, 100.0, 600.0)]


def line(height, slope, intercept):
    return intercept + slope * height


def line_jacobian(height, slope, intercept):
    return numpy.column_stack([height, numpy.ones_like(height)])


def fitted(readings):
    height, gap, error = numpy.array(readings, dtype=float).T
    best, covariance = curve_fit(line, height, gap, p0=(0.0, gap.mean()), sigma=error, absolute_sigma=True,
                                 jac=line_jacobian, ftol=1e-15, xtol=1e-15, gtol=1e-15)
    # A second routine, so that a loose stop of the first can't slip into the data.
    other, other_covariance = numpy.polyfit(height, gap, 1, w=1 / error, cov="unscaled")
    numpy.testing.assert_allclose(best, other, rtol=1e-10, atol=1e-13)
    numpy.testing.assert_allclose(covariance, other_covariance, rtol=1e-10)
    chi2 = float((((gap - line(height, *best)) / error) ** 2).sum())
    degrees = len(readings) - 2
    return {
        "slope": float(best[0]),
        "intercept_in": float(best[1]),
        "slope_error": float(numpy.sqrt(covariance[0, 0])),
        "intercept_error_in": float(numpy.sqrt(covariance[1, 1])),
        "covariance": float(covariance[0, 1]),
        "chi2": chi2,
        "degrees_of_freedom": degrees,
        "p_value": float(chi_square.sf(chi2, degrees)) if degrees else None,
        "chi2_without": without(readings),
    }


def without(readings):
    """Chi-square of the line through the others, for each reading left out; None where they are at one height."""
    answers = []
    for left_out in range(len(readings)):
        rest = readings[:left_out] + readings[left_out + 1:]
        height, gap, error = numpy.array(rest, dtype=float).T
        if numpy.ptp(height) == 0:
            answers.append(None)
            continue
        best = numpy.polyfit(height, gap, 1, w=1 / error)
        answers.append(float((((gap - numpy.polyval(best, height)) / error) ** 2).sum()))
    return answers


def lean(*strings):
    """Unknown: lean toward x and y, and one gap for each string. Every reading is one whitened equation."""
    rows, seen = [], []
    for which, (degrees, index) in enumerate(strings):
        way = numpy.array([numpy.cos(numpy.radians(degrees)), numpy.sin(numpy.radians(degrees))])
        for height, gap, error in LINES[index][1]:
            # The barrel moves height * lean; what it moves toward the string the gap loses.
            row = numpy.concatenate([-height * way, [which == 0, which == 1]])
            rows.append(row / error)
            seen.append(gap / error)
    best = numpy.linalg.lstsq(numpy.array(rows), numpy.array(seen), rcond=None)[0]
    inverse = numpy.linalg.pinv(numpy.array(rows))
    covariance = (inverse @ inverse.T)[:2, :2]
    size = float(numpy.hypot(*best[:2]))
    heading = best[:2] / size
    return {
        "toward_x": float(best[0]),
        "toward_y": float(best[1]),
        "covariance": covariance.tolist(),
        "lean_in_per_ft": 12 * size,
        "lean_error_in_per_ft": float(12 * numpy.sqrt(heading @ covariance @ heading)),
    }


def main():
    answers = {
        "library": {"numpy": numpy.__version__, "scipy": scipy.__version__, "python": sys.version.split()[0]},
        "lines": [{"name": name, "readings": readings, "expect": fitted(readings)} for name, readings in LINES],
        "leans": [{"name": name, "strings": [{"degrees": d, "line": LINES[i][0]} for d, i in strings],
                   "expect": lean(*strings)} for name, *strings in LEANS],
        "tails": [{"chi2": x, "degrees_of_freedom": k, "p_value": float(chi_square.sf(x, k))} for x, k in TAILS],
    }
    target = pathlib.Path(__file__).with_suffix(".json")
    target.write_text(json.dumps(answers, indent=1) + "\n")


main()
