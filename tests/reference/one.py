"""The corner that one reading says, with its uncertainty in both forms, reckoned apart from the program.

Written from sections 4 and 5 of the design and JCGM 100, 5.1 and 5.2: the reference may have been read with the filter
at a mark, at a tone of its own.
"""

import json
import math
import sys

sys.dont_write_bytecode = True
import tables  # noqa: E402
from bench import K, SQRT3, Filter, Meter, middle_and_spread  # noqa: E402


def case(family, slope, tone, typed, reference, q=None, mark=None, mark_percent=5.0, reference_tone=None, meter=(1.0, 5, 0.01)):
    return {
        "family": family,
        "slope_db_per_octave": slope,
        "q": q,
        "tone_hz": tone,
        "typed": typed,
        "reference": reference,
        "mark_hz": mark,
        "mark_uncertainty_percent": mark_percent,
        "reference_tone_hz": tone if reference_tone is None else reference_tone,
        "meter_accuracy_percent": meter[0],
        "meter_digits": meter[1],
        "meter_resolution_v": meter[2],
    }


CASES = [
    case("butterworth", 24, 27.0, "5.66", "8"),
    case("linkwitz-riley", 24, 27.0, "5.61..5.70", "8"),
    case("bessel", 18, 33.0, "6.1 6.2 6.15", "7.95..8.05", meter=(0.5, 3, 0.001)),
    case("butterworth", 24, 27.0, "5.6", "7.85", mark=18.0),
    case("butterworth", 24, 27.0, "5.6", "7.95", mark=18.0, reference_tone=45.0),
    case("linkwitz-riley", 12, 20.0, "2.2", "6.4", mark=16.0, mark_percent=10.0, reference_tone=33.0),
    case("second-order", 12, 18.0, "4.4", "8.3", q=1.1, mark=12.0, reference_tone=22.0),
    case("second-order", 12, 30.0, "9", "8", q=1.5),
    case("butterworth", 12, 60.0, "8.1", "8"),
    case("bessel", 12, 27.0, "0.02", "8"),
]


def said(inputs):
    filter_ = Filter(inputs["family"], inputs["slope_db_per_octave"], inputs["q"])
    meter = Meter(inputs["meter_accuracy_percent"], inputs["meter_digits"], inputs["meter_resolution_v"])
    tone, mark, reference_tone = inputs["tone_hz"], inputs["mark_hz"], inputs["reference_tone_hz"]
    true_reference, u_mark = middle_and_spread(inputs["reference"])[0], 0.0
    if mark is not None:
        true_reference /= math.exp(filter_.level(reference_tone, mark))
        u_mark = abs(filter_.moves(reference_tone, mark)) * inputs["mark_uncertainty_percent"] / 100.0 / SQRT3
    corners = filter_.corners(tone, math.log(middle_and_spread(inputs["typed"])[0] / true_reference))

    def uncertainty(full):
        if len(corners) != 1:
            return None
        u = math.hypot(meter.relative(inputs["typed"], full), meter.relative(inputs["reference"], full), u_mark)
        return K * corners[0] * u / abs(filter_.moves(tone, corners[0]))

    return {"corners_hz": corners, "common_gain_hz": uncertainty(False), "full_hz": uncertainty(True)}


if __name__ == "__main__":
    tables.main(
        __file__,
        "one.ndjson",
        "Single readings, one a line, and the corner that each says.",
        ["source: JCGM 100, 5.1 and 5.2; inverses by scipy.optimize.brentq; see one.py and bench.py"],
        [json.dumps({"inputs": inputs, "expected": said(inputs)}) for inputs in CASES],
        json.loads,
    )
