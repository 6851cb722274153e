"""Settings, windows, accept zones, dB-down points and verdicts for plans of many kinds, reckoned apart from the program.

Written from sections 3 to 5 of the design (its JSON keys name what is meant) and from JCGM 100 and JCGM 106.
"""

import json
import math
import sys

sys.dont_write_bytecode = True
import tables  # noqa: E402
from bench import DB, K, SQRT3, Filter, Meter, middle_and_spread  # noqa: E402

USUAL_METER = (1.0, 5, 0.01)
RULES = {"three-quarters": 0.75, "half-octave": 2.0**-0.5, "octave": 0.5}
DOWN_DB = [1.0, 3.0, 6.0, 10.0, 12.0, 20.0, 24.0]
# A point whose target is fewer display steps is left out.
STEPS = 20
# What a tone may be.
TONE_HZ = (5.0, 200.0)


def case(
    family, slope, reference, *readings, corner=None, tuning=None, rule="three-quarters", q=None, mark=None,
    mark_percent=5.0, tone=None, percent=3.0, db=None, meter=USUAL_METER, held=True,
):
    """The inputs of a plan as the table states them. `db` in place of `percent`."""
    if corner is None:
        corner_hz = tuning * RULES[rule]
    else:
        corner_hz, rule, tuning = corner, None, None
    return {
        "tuning_hz": tuning,
        "rule": rule,
        "corner_hz": corner_hz,
        "family": family,
        "slope_db_per_octave": slope,
        "q": q,
        "reference": reference,
        "mark_hz": mark,
        "mark_uncertainty_percent": mark_percent,
        "tone_hz": corner_hz if tone is None else tone,
        "tolerance_percent": None if db else percent,
        "tolerance_db": db,
        "meter_accuracy_percent": meter[0],
        "meter_digits": meter[1],
        "meter_resolution_v": meter[2],
        "range_held": held,
        "readings": list(readings),
    }


BW, LR, BE, SO = "butterworth", "linkwitz-riley", "bessel", "second-order"
FINE, COARSE, PERFECT = (0.5, 3, 0.001), (1.5, 10, 0.1), (0.0, 0, 0.01)

CASES = [
    # The plain ones: every family, tone on the corner, the usual meter.
    case(BW, 24, "8", "5.66", "5.30", "5.39", "6.1", "5.61..5.70", "5.61 5.64 5.66", tuning=36.0),
    case(BW, 6, "8", "5.6", "5.8", tuning=36.0),
    case(BW, 12, "8", "5.66", "7.9", tuning=36.0, rule="half-octave"),
    case(BW, 18, "8", "5.66", "4.9", tuning=36.0, rule="octave"),
    case(BW, 30, "8", "5.7", corner=27.0),
    case(BW, 36, "8", "5.7", corner=27.0),
    case(BW, 42, "8", "5.7", corner=27.0),
    case(BW, 48, "8", "5.66", "5.2..6.1", corner=27.0),
    case(LR, 12, "8", "4.00", "5.66", corner=27.0),
    case(LR, 24, "8", "4.00", "5.66", corner=27.0),
    case(LR, 36, "8", "4", "3.8", corner=27.0),
    case(LR, 48, "8", "4.02", corner=27.0),
    case(BE, 12, "8", "5.66", "5.4", corner=27.0),
    case(BE, 18, "8", "5.66", corner=27.0),
    case(BE, 24, "8", "5.66", "5.71 5.70 5.66 5.69", corner=27.0),
    case(SO, 12, "8", "4.3", "6.5", corner=27.0, q=0.6),
    case(SO, 12, "8", "4.85", "8.05", "7.99", corner=27.0, q=0.9, tone=20.25),
    case(SO, 12, "8", "3.3", "9.1", "12", corner=32.0, q=2.0, tone=16.0),
    case(SO, 12, "8", "5", corner=27.0, q=0.3, db=1.0),
    # A tone that is not the corner.
    case(BW, 24, "8", "7.0", "7.46", corner=27.0, tone=33.0),
    case(BW, 24, "8", "2.4", "2.1", corner=27.0, tone=20.0),
    case(LR, 24, "11.3", "8", "8.9", corner=22.4, tone=31.5, percent=5.0),
    case(BE, 18, "6.3", "4", "5.55", corner=31.0, tone=40.0, db=0.8),
    case(BW, 12, "5", "4.7", corner=27.0, tone=50.0, percent=10.0),
    case(BW, 48, "9", "9", "8.99", corner=18.0, tone=36.0, percent=20.0, meter=FINE),
    # The filter stayed in: its mark is reckoned out of the reference.
    case(BW, 24, "7.85", "5.6", corner=27.0, mark=18.0),
    case(LR, 12, "5.54", "4", "4.1", corner=27.0, mark=18.0, mark_percent=10.0),
    case(LR, 24, "7.2", "3.9", corner=27.0, mark=15.5, tone=24.0, mark_percent=2.0, held=False),
    case(BE, 24, "7.61..7.69", "5.6", "5.55..5.70", corner=27.0, mark=12.0, mark_percent=0.0),
    case(SO, 12, "8.4", "5.2", corner=27.0, q=1.1, mark=10.0, tone=18.0),
    case(BW, 6, "6.02", "5", corner=27.0, mark=20.0, tone=30.0, db=0.5, held=False),
    # A tolerance as a level, one whose upper end passes the reference, and a wide one.
    case(BW, 24, "8", "5.66", "5.99", corner=27.0, db=0.5),
    case(BW, 12, "8", "5.66", corner=27.0, db=3.0),
    case(BW, 24, "8", "7.9", "8", corner=27.0, tone=41.0, db=0.5),
    case(LR, 36, "8", "4", corner=27.0, db=0.1, meter=FINE),
    case(BW, 24, "8", "5.6", corner=27.0, percent=0.1, meter=FINE),
    # The range not held, a coarse meter with an empty zone, a perfect one, small and large voltages, spans.
    case(BW, 24, "8", "5.66", "5.40", corner=27.0, held=False),
    case(BW, 24, "8", "5.7", "5.5", corner=27.0, meter=COARSE),
    case(LR, 24, "1.2", "0.6", corner=27.0, meter=COARSE, held=False),
    case(BW, 24, "8", "5.66", "5.41", corner=27.0, meter=PERFECT),
    case(BW, 18, "0.4", "0.28", "0.283", corner=27.0, meter=(0.7, 4, 0.0001)),
    case(BE, 12, "110", "78", corner=45.0, meter=(1.0, 3, 0.1), percent=8.0),
    case(BW, 24, "7.95..8.05", "5.66", "5.61..5.70", corner=27.0),
    case(BW, 24, "8.01 7.99 8.02 8.00", "5.62 5.70", corner=27.0, percent=4.0),
    # Points whose tone leaves the range of tones, at both ends.
    case(BW, 6, "8", "5.66", corner=180.0),
    case(BW, 12, "8", "5.66", corner=6.0),
    case(LR, 12, "8", "4", corner=10.5, tone=20.0, percent=6.0),
]


def plan(inputs):
    """Everything that follows from the inputs."""
    filter_ = Filter(inputs["family"], inputs["slope_db_per_octave"], inputs["q"])
    meter = Meter(inputs["meter_accuracy_percent"], inputs["meter_digits"], inputs["meter_resolution_v"])
    corner, tone = inputs["corner_hz"], inputs["tone_hz"]
    reference, _ = middle_and_spread(inputs["reference"])
    true_reference, u_mark = reference, 0.0
    if inputs["mark_hz"] is not None:
        true_reference = reference / math.exp(filter_.level(tone, inputs["mark_hz"]))
        limit = inputs["mark_uncertainty_percent"] / 100.0
        u_mark = abs(filter_.moves(tone, inputs["mark_hz"])) * limit / SQRT3

    def u_ratio(volts, spread, full):
        """Relative, of a reading over the reference as read."""
        own = math.sqrt(meter.u(volts, full) ** 2 + spread**2) / volts
        return math.sqrt(own**2 + meter.relative(inputs["reference"], full) ** 2 + u_mark**2)

    def window(at_tone, target):
        share, db = inputs["tolerance_percent"], inputs["tolerance_db"]
        if share is None:
            return target * 10.0 ** (-db / 20.0), target * 10.0 ** (db / 20.0)
        low, high = (
            true_reference * math.exp(filter_.level(at_tone, corner * (1.0 + sign * share / 100.0)))
            for sign in (1.0, -1.0)
        )
        return low, high

    def zone(low, high, expanded):
        return (low + expanded, high - expanded) if low + expanded <= high - expanded else (None, None)

    def corner_at(volts, sign):
        if volts >= true_reference:
            return None
        if inputs["tolerance_percent"] is not None:
            return corner * (1.0 + sign * inputs["tolerance_percent"] / 100.0)
        (only,) = filter_.corners(tone, math.log(volts / true_reference))
        return only

    target = true_reference * math.exp(filter_.level(tone, corner))
    low, high = window(tone, target)
    full = not inputs["range_held"]
    accept = zone(low, high, K * target * u_ratio(target, 0.0, full))
    setting = {
        "tone_hz": tone,
        "down_db": filter_.down_db(tone, corner),
        "target_v": target,
        "low_v": low,
        "high_v": high,
        "accept_low_v": accept[0],
        "accept_high_v": accept[1],
        "corner_low_hz": corner_at(high, -1.0),
        "corner_high_hz": corner_at(low, 1.0),
    }

    def point(down_db):
        at, volts = filter_.tone_at(corner, down_db), true_reference * 10.0 ** (-down_db / 20.0)
        if not TONE_HZ[0] <= at <= TONE_HZ[1] or volts < STEPS * meter.step:
            return None
        ends = window(at, volts)
        inner = zone(*ends, K * volts * u_ratio(volts, 0.0, True))
        return {
            "down_db": down_db,
            "tone_hz": at,
            "target_v": volts,
            "low_v": ends[0],
            "high_v": ends[1],
            "accept_low_v": inner[0],
            "accept_high_v": inner[1],
        }

    def judged(typed):
        volts, spread = middle_and_spread(typed)
        inner = zone(low, high, K * target * u_ratio(target, spread, full))
        corners = filter_.corners(tone, math.log(volts / true_reference))
        if volts > high:
            verdict = "above"
        elif volts < low:
            verdict = "below"
        elif inner[0] is not None and inner[0] <= volts <= inner[1] and len(corners) == 1:
            # A reading that says no corner, or two, is never inside: a filter that is out reads the reference.
            verdict = "inside"
        else:
            verdict = "borderline"
        uncertainty = None
        if len(corners) == 1:
            uncertainty = K * corners[0] * u_ratio(volts, spread, full) / abs(filter_.moves(tone, corners[0]))
        return {
            "typed": typed,
            "volts": volts,
            "down_db": -DB * math.log(volts / true_reference),
            "corners_hz": corners,
            "corner_uncertainty_hz": uncertainty,
            "accept_low_v": inner[0],
            "accept_high_v": inner[1],
            "verdict": verdict,
        }

    return {
        "true_reference_v": true_reference,
        "setting": setting,
        "points": [found for found in map(point, DOWN_DB) if found],
        "readings": [judged(typed) for typed in inputs["readings"]],
    }


if __name__ == "__main__":
    tables.main(
        __file__,
        "targets.ndjson",
        "Plans, one a line: inputs, and what follows from them.",
        [
            "source: reckoned from the definitions (JCGM 100, JCGM 106, transfer functions by poles), inverses by",
            "scipy.optimize.brentq; see targets.py and bench.py",
        ],
        [json.dumps({"inputs": inputs, "expected": plan(inputs)}) for inputs in CASES],
        json.loads,
    )
