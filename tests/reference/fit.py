"""Fits of corner, slope and family to readings with noise, by scipy.optimize, reckoned apart from the program.

Written from sections 4 and 5 of the design: unweighted least squares in dB; standard error from the scatter with
n - 1 degrees of freedom; rms over n; expanded uncertainty (k = 2) from each pair's own u in full form and that of its
own reference as independent, a shared reference and the mark as common to all that use them; told apart where a
chi-square without the shared part passes the best filter's by more than 3.84.
"""

import json
import math
import sys

import numpy
import scipy.optimize

sys.dont_write_bytecode = True
import tables  # noqa: E402
from bench import CLOSE, DB, K, SQRT3, Filter, Meter, middle_and_spread  # noqa: E402

TOLD_APART = 3.84
# A chi-square this close to the line would be decided by the last bits: no such case belongs in the table.
MARGIN = 1e-6

CANDIDATES = (
    [("butterworth", slope, None) for slope in (6, 12, 18, 24, 30, 36, 42, 48)]
    + [("linkwitz-riley", slope, None) for slope in (12, 24, 36, 48)]
    + [("bessel", slope, None) for slope in (12, 18, 24)]
)

USUAL_METER = (1.0, 5, 0.01)


def case(pairs, shared=None, shared_tone=None, mark=None, mark_percent=5.0, meter=USUAL_METER, candidates=None):
    """The inputs of a fit as the table states them. `pairs` are texts: TONE=VOLTS or TONE=VOLTS/REFERENCE."""
    return {
        "pairs": pairs,
        "shared": shared,
        "shared_tone_hz": shared_tone,
        "mark_hz": mark,
        "mark_uncertainty_percent": mark_percent,
        "meter_accuracy_percent": meter[0],
        "meter_digits": meter[1],
        "meter_resolution_v": meter[2],
        "candidates": [list(candidate) for candidate in candidates or CANDIDATES],
    }


def readings(family, slope, corner, tones, noise, references, q=None, mark=None, digits=2, own=True, reference_tone=None):
    """Pairs as a meter would show them: the filter's response, the noise in per cent, rounded to the display."""
    filter_ = Filter(family, slope, q)
    pairs = []
    for index, tone in enumerate(tones):
        true = references[index % len(references)]
        volts = true * math.exp(filter_.level(tone, corner)) * (1.0 + noise[index % len(noise)] / 100.0)
        text = f"{tone:g}={volts:.{digits}f}"
        if own:
            as_read = true if mark is None else true * math.exp(filter_.level(tone, mark))
            text += f"/{as_read:.{digits}f}"
        pairs.append(text)
    return pairs


def shared_at(family, slope, true, tone, mark, q=None, digits=2):
    """A reference at a tone with the filter at its mark, as a meter would show it."""
    return f"{true * math.exp(Filter(family, slope, q).level(tone, mark)):.{digits}f}"


# Per cent; no source, chosen by hand to look like digits that hunt.
NOISE = [0.4, -0.7, 0.2, 0.9, -0.3, -0.5, 0.6, 0.1, -0.8, 0.3]
LOUD = [2.1, -3.0, 1.4, 2.6, -1.9, -2.2]
SMALL = [0.05, -0.08, 0.02, 0.06, -0.04]
# A meter that droops towards low tones reads its reference low too.
DROOPING = [7.71, 7.84, 7.93, 7.97, 8.0, 8.02]
FIVE = [16.0, 20.0, 27.0, 33.0, 45.0]

CASES = [
    # Each tone with its own reference.
    case(readings("butterworth", 24, 27.0, FIVE, NOISE, DROOPING)),
    case(readings("linkwitz-riley", 24, 24.3, FIVE, NOISE, DROOPING)),
    case(readings("bessel", 18, 31.0, [15.0, 22.0, 31.0, 40.0, 60.0], NOISE, DROOPING)),
    case(readings("butterworth", 48, 18.0, [13.0, 15.0, 17.0, 18.0, 20.0, 23.0], NOISE, DROOPING, digits=3),
         meter=(0.5, 3, 0.001)),
    case(readings("butterworth", 6, 35.0, [10.0, 18.0, 35.0, 70.0, 120.0], SMALL, DROOPING, digits=3),
         meter=(0.5, 3, 0.001)),
    case(readings("linkwitz-riley", 48, 30.0, [24.0, 27.0, 30.0, 36.0], SMALL, [12.0], digits=3),
         meter=(0.3, 2, 0.001)),
    # One reference for all.
    case(readings("butterworth", 18, 27.0, FIVE, NOISE, [8.0], own=False), "8.00", 27.0),
    case(readings("linkwitz-riley", 12, 22.0, [14.0, 22.0, 32.0, 50.0], NOISE, [8.0], own=False), "7.98..8.03", 50.0),
    # Some with their own, some without.
    case(readings("butterworth", 30, 26.0, [18.0, 22.0, 26.0], NOISE, [7.9])
         + readings("butterworth", 30, 26.0, [32.0, 40.0], SMALL, [8.0], own=False), "8.0", 40.0),
    # The filter stayed in, at a mark.
    case(readings("linkwitz-riley", 24, 27.0, FIVE, NOISE, [8.0], own=False),
         shared_at("linkwitz-riley", 24, 8.0, 27.0, 18.0), 27.0, mark=18.0),
    case(readings("butterworth", 24, 28.0, FIVE, NOISE, DROOPING, mark=16.0), mark=16.0, mark_percent=8.0),
    case(readings("bessel", 24, 29.0, [17.0, 23.0, 29.0, 38.0], SMALL, [8.0], own=False, digits=3),
         shared_at("bessel", 24, 8.0, 33.0, 14.0, digits=3), 33.0, mark=14.0, mark_percent=3.0, meter=(0.5, 3, 0.001)),
    # Spans and repeats.
    case(["16=0.95..1.01/7.7", "20=2.09 2.12 2.10/7.84", "27=5.61..5.70/7.93", "36=7.39/7.95..8.0"]),
    # Two pairs; few tones, coarse meters: little or nothing is told apart.
    case(readings("butterworth", 24, 27.0, [20.0, 27.0], NOISE, [8.0])),
    case(readings("butterworth", 12, 27.0, [24.0, 27.0, 30.0], SMALL, [8.0])),
    case(readings("linkwitz-riley", 24, 25.0, FIVE, LOUD, [8.0], digits=1), meter=(2.0, 5, 0.1)),
    case(readings("butterworth", 24, 27.0, [25.0, 27.0, 29.0], SMALL, [8.0], digits=1), meter=(2.0, 10, 0.1)),
    case(readings("bessel", 12, 27.0, [22.0, 27.0, 33.0], NOISE, [3.0], own=False), "3.00", 27.0),
    # A reading above its reference is data.
    case(["16=0.97/8.0", "22=2.9/8.0", "27=5.6/8.0", "40=7.8/8.0", "80=8.05/8.0"]),
    # One filter only, and second-order ones when asked for.
    case(readings("butterworth", 24, 27.0, FIVE, LOUD, DROOPING), candidates=[("linkwitz-riley", 24, None)]),
    case(readings("butterworth", 18, 23.0, FIVE, NOISE, DROOPING),
         candidates=[("butterworth", slope, None) for slope in (6, 12, 18, 24, 30, 36, 42, 48)]),
    case(readings("second-order", 12, 27.0, FIVE, NOISE, DROOPING, q=0.6), candidates=[("second-order", 12, 0.6)]),
    case(readings("second-order", 12, 27.0, FIVE, NOISE, DROOPING, q=1.2), candidates=[("second-order", 12, 1.2)]),
    case(readings("second-order", 12, 27.0, FIVE, NOISE, [8.0], q=0.9, own=False),
         shared_at("second-order", 12, 8.0, 20.0, 10.0, q=0.9), 20.0, mark=10.0, candidates=[("second-order", 12, 0.9)]),
    # On a hump the mark moves one reference up and another down: its trust is common, and part of it cancels.
    case(readings("second-order", 12, 30.0, [14.0, 18.0, 30.0, 45.0], SMALL, [8.0], q=1.5, mark=20.0, digits=3),
         mark=20.0, mark_percent=10.0, meter=(0.3, 2, 0.001), candidates=[("second-order", 12, 1.5)]),
]


def fit(inputs):
    """The best filter, its corner with what is uncertain about it, and all others."""
    meter = Meter(inputs["meter_accuracy_percent"], inputs["meter_digits"], inputs["meter_resolution_v"])
    mark, points = inputs["mark_hz"], []
    for text in inputs["pairs"]:
        tone, volts = text.split("=")
        volts, _, own = volts.partition("/")
        u_own = meter.relative(own, True) if own else 0.0
        points.append({
            "tone": float(tone),
            "reference_tone": float(tone) if own else inputs["shared_tone_hz"],
            "level": DB * math.log(middle_and_spread(volts)[0] / middle_and_spread(own or inputs["shared"])[0]),
            "u": DB * math.sqrt(meter.relative(volts, True) ** 2 + u_own**2),
            "shares": not own,
        })
    count = len(points)
    u_of_pair = numpy.array([point["u"] for point in points])

    def candidate(family, slope, q):
        filter_ = Filter(family, slope, q)

        def residuals(z):
            corner = math.exp(float(z[0]))
            return numpy.array([
                point["level"]
                + filter_.down_db(point["tone"], corner)
                - (filter_.down_db(point["reference_tone"], mark) if mark else 0.0)
                for point in points
            ])

        def jacobian(z):
            corner = math.exp(float(z[0]))
            return numpy.array([[-DB * filter_.moves(point["tone"], corner)] for point in points])

        # From many starts, so that no local minimum is taken for the least; then to the root of the gradient, which
        # brentq finds closer than any comparison of sums of squares can.
        found = min(
            (
                scipy.optimize.least_squares(residuals, [start], jacobian, xtol=1e-15, ftol=1e-15, gtol=1e-15)
                for start in numpy.log([6.0, 9.0, 13.0, 18.0, 24.0, 30.0, 40.0, 60.0, 100.0, 200.0])
            ),
            key=lambda result: result.cost,
        )

        def gradient(z):
            return float(jacobian([z])[:, 0] @ residuals([z]))

        near, far = found.x[0] - 1e-4, found.x[0] + 1e-4
        z = scipy.optimize.brentq(gradient, near, far, **CLOSE)
        r, slopes = residuals([z]), jacobian([z])[:, 0]
        return {
            "filter": filter_,
            "corner": math.exp(z),
            "residuals": r,
            "slopes": slopes,
            "squares": float(r @ r),
            "chi_square": float(((r / u_of_pair) ** 2).sum()),
        }

    best, *others = sorted((candidate(*which) for which in inputs["candidates"]), key=lambda one: one["squares"])
    weights = best["slopes"] / float(best["slopes"] @ best["slopes"])
    parts = [float(numpy.sqrt(((weights * u_of_pair) ** 2).sum()))]
    if inputs["shared"]:
        common = sum(weight for weight, point in zip(weights, points) if point["shares"])
        parts.append(abs(common) * DB * meter.relative(inputs["shared"], True))
    if mark:
        limit = inputs["mark_uncertainty_percent"] / 100.0
        common = sum(
            weight * best["filter"].moves(point["reference_tone"], mark) for weight, point in zip(weights, points)
        )
        parts.append(abs(common) * DB * limit / SQRT3)

    def alternative(other):
        excess = other["chi_square"] - best["chi_square"]
        assert abs(excess - TOLD_APART) > MARGIN, "too close to call"
        return {
            "family": other["filter"].family,
            "slope_db_per_octave": other["filter"].slope,
            "q": other["filter"].q,
            "corner_hz": other["corner"],
            "rms_residual_db": math.sqrt(other["squares"] / count),
            "told_apart": excess > TOLD_APART,
        }

    scatter = math.sqrt(best["squares"] / (count - 1))
    return {
        "family": best["filter"].family,
        "slope_db_per_octave": best["filter"].slope,
        "q": best["filter"].q,
        "corner_hz": best["corner"],
        "corner_standard_error_hz": best["corner"] * scatter / float(numpy.linalg.norm(best["slopes"])),
        "corner_uncertainty_hz": K * best["corner"] * math.hypot(*parts),
        # Measured less fitted: above zero where the meter showed more volts.
        "residuals_db": [float(residual) for residual in best["residuals"]],
        "rms_residual_db": math.sqrt(best["squares"] / count),
        "alternatives": [alternative(other) for other in others],
    }


if __name__ == "__main__":
    tables.main(
        __file__,
        "fit.ndjson",
        "Fits, one a line: readings as typed, and what they say.",
        [
            "source: scipy.optimize.least_squares from ten starts, then brentq on the gradient; uncertainty after",
            "JCGM 100, 5.1.2 and 5.2.2; the readings are made here from filters with noise; see fit.py and bench.py",
        ],
        [json.dumps({"inputs": inputs, "expected": fit(inputs)}) for inputs in CASES],
        json.loads,
    )
