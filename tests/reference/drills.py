"""The answers of drills, worked out by other routes than the program's: one question a line, one answer a line.

Reads {"form": word, "given": {name: number}} and writes {"answer": number or word, "mistakes": {words: number}}. Filters are scipy.signal's analogue designs
(butter; bessel with norm="mag") put through freqs; inverses are brackets (scipy.optimize.brentq); powers are means of a
sine over its period; sums of readings are decimal fractions. The cone in a vented box is R. H. Small's fourth-order
displacement function (J. Audio Eng. Soc. 21 (1973), from memory), for three boxes that are built.
"""

import fractions
import json
import math
import sys

import numpy
import scipy.optimize
import scipy.signal

CLOSE = {"xtol": 1e-13, "rtol": 1e-14}


def exact(number):
    """The decimal fraction that a number was written as."""
    return fractions.Fraction(repr(number))


def left(family, slope, corner, tone):
    """What a high-pass leaves of the volts."""
    order = round(slope / 6)
    wc, w = 2 * math.pi * corner, 2 * math.pi * tone

    def one(design):
        _, response = scipy.signal.freqs_zpk(*design, worN=[w])
        return float(abs(response[0]))

    if family == "linkwitz_riley":
        half = scipy.signal.butter(order // 2, wc, "highpass", analog=True, output="zpk")
        return one(half) ** 2
    if family == "bessel":
        return one(scipy.signal.bessel(order, wc, "highpass", analog=True, output="zpk", norm="mag"))
    return one(scipy.signal.butter(order, wc, "highpass", analog=True, output="zpk"))


def family(given):
    return next(name for name in ("linkwitz_riley", "bessel", "butterworth") if name in given)


def db(ratio):
    """Level of a ratio of voltages, through its power."""
    return 10.0 * math.log10(ratio * ratio)


def share(down):
    """Ratio of voltages of a level, found rather than worked out."""
    return scipy.optimize.brentq(lambda ratio: db(ratio) + down, 1e-6, 1.0, **CLOSE)


def mean_power(volts, ohms):
    turn = numpy.arange(1000) * 2 * math.pi / 1000
    return float(numpy.mean((math.sqrt(2) * volts * numpy.sin(turn)) ** 2) / ohms)


def corner_for(name, slope, tone, ratio):
    """The corner that leaves this share at a tone; what is left falls as the corner rises."""
    return scipy.optimize.brentq(lambda corner: left(name, slope, corner, tone) - ratio, tone / 50, tone * 50, **CLOSE)


def far_slope(order):
    """dB an octave, measured far below the corner."""
    upper, lower = (left("butterworth", 6 * order, 1000.0, tone) for tone in (2.0, 1.0))
    return db(upper / lower)


# Tuning over resonance, compliance ratio, total Q: flat, gentle and humped.
BOXES = [(1.0, 1.41, 0.38), (1.2, 2.5, 0.32), (0.85, 0.8, 0.45)]


def vented(tones, tuning, box):
    """Cone travel a volt, as a share of that at standstill."""
    h, alpha, qt = box
    tb, ts, ql = 1 / (2 * math.pi * tuning), h / (2 * math.pi * tuning), 7.0
    numerator = [tb**2, tb / ql, 1.0]
    denominator = [
        tb**2 * ts**2,
        tb**2 * ts / qt + tb * ts**2 / ql,
        (alpha + 1) * tb**2 + tb * ts / (ql * qt) + ts**2,
        tb / ql + ts / qt,
        1.0,
    ]
    _, travel = scipy.signal.freqs(numerator, denominator, 2 * math.pi * numpy.asarray(tones, dtype=float))
    return abs(travel)


def agreed(says):
    """What every box says."""
    says = list(says)
    assert len(set(says)) == 1, says
    return says[0]


def travels_more(g):
    def of(box):
        low, high = vented([g["low_hz"], g["high_hz"]], g["tuning_hz"], box)
        return "lower" if low > high else "higher"

    return agreed(map(of, BOXES))


def filter_needed(g):
    if "sealed" in g:
        # Second order, Q 0.7: at no tone does the cone travel further than at standstill.
        tones = numpy.geomspace(g["lowest_hz"], 200, 400)
        _, travel = scipy.signal.freqs([1.0], [1 / (2 * math.pi * 45) ** 2, 1 / (0.7 * 2 * math.pi * 45), 1.0], 2 * math.pi * tones)
        return "yes" if numpy.max(abs(travel)) > 1.05 else "no"

    def of(box):
        tuning, lowest = g["tuning_hz"], g["lowest_hz"]
        safe = numpy.max(vented(numpy.geomspace(tuning, 4 * tuning, 400), tuning, box))
        played = numpy.max(vented(numpy.geomspace(lowest, 4 * tuning, 400), tuning, box))
        return "yes" if played > 1.05 * safe else "no"

    return agreed(map(of, BOXES))


def two_filters(g):
    lefts = [left("butterworth", g[f"{one}_slope_db_per_octave"], g[f"{one}_corner_hz"], g["tone_hz"]) for one in ("first", "second")]
    return ("first", "second")[int(numpy.argmin(lefts))]


def limit(g):
    """Everything in display steps."""
    step = exact(g["resolution_v"])
    steps = exact(g["reading_v"]) / step * exact(g["accuracy_percent"]) / 100 + exact(g["digits"])
    return steps * step


def verdict(g):
    low, high, guard, reading = (exact(g[name]) for name in ("low_v", "high_v", "guard_v", "reading_v"))
    if not low <= reading <= high:
        return "above" if reading > high else "below"
    return "inside" if low + guard <= reading <= high - guard else "borderline"


def window_end(g):
    factor = 1 + (-1 if g["upper"] else 1) * g["tolerance_percent"] / 100
    return g["reference_v"] * left("butterworth", g["slope_db_per_octave"], g["corner_hz"] * factor, g["corner_hz"])


def accept_end(g):
    guard = exact(g["guard_v"])
    return float(exact(g["high_v"]) - guard) if g["upper"] else float(exact(g["low_v"]) + guard)


def second_order(g):
    _, response = scipy.signal.freqs([1.0, 0.0, 0.0], [1.0, 1.0 / g["q"], 1.0], [1.0])
    return g["reference_v"] * float(abs(response[0]))


def other_family(g):
    real = family(g)
    told = "butterworth" if real == "linkwitz_riley" else "linkwitz_riley"
    at_corner = left(told, g["slope_db_per_octave"], g["tone_hz"], g["tone_hz"])
    return corner_for(real, g["slope_db_per_octave"], g["tone_hz"], at_corner)


# What the page of cautions says, in the order of the questions about it, written down by hand.
BENCH = ["disconnected", "every", "none", "both", "across", "no", "ac volts", "voltage", "turned down", "manual"]
# Those of the lesson: before the tone, before the speakers, and the first sound.
BENCH += ["speakers", "level", "music"]

FORMS = {
    "ratio-of-down": lambda g: share(g["down_db"]),
    "down-of-ratio": lambda g: -db(g["ratio"]),
    "down-of-volts": lambda g: db(g["reference_v"]) - db(g["reading_v"]),
    "volts-of-down": lambda g: g["reference_v"] * share(g["down_db"]),
    "power-of-down": lambda g: 100 * mean_power(share(g["down_db"]), 1.0),
    "power-share": lambda g: 100 * mean_power(g["reading_v"], 4.0) / mean_power(g["reference_v"], 4.0),
    "volts-of-power": lambda g: scipy.optimize.brentq(
        lambda volts: mean_power(volts, g["load_ohm"]) - g["power_w"], 0.0, 1000.0, **CLOSE
    ),
    "power-of-volts": lambda g: mean_power(g["reference_v"], g["load_ohm"]),
    # Halfway to the octave below: along a straight line, and along octaves.
    "corner-three-quarters": lambda g: float(numpy.mean([g["tuning_hz"], g["tuning_hz"] / 2])),
    "corner-half-octave": lambda g: float(numpy.exp(numpy.mean(numpy.log([g["tuning_hz"], g["tuning_hz"] / 2])))),
    "corner-octave": lambda g: float(exact(g["tuning_hz"]) / 2),
    "octaves-between": lambda g: float(numpy.log2(g["high_hz"]) - numpy.log2(g["low_hz"])),
    "octaves-below": lambda g: scipy.optimize.brentq(
        lambda f: numpy.log2(g["frequency_hz"] / f) - g["octaves"], 0.1, 1000.0, **CLOSE
    ),
    "order-of-slope": lambda g: next(n for n in range(1, 9) if abs(far_slope(n) - g["slope_db_per_octave"]) < 0.2),
    "slope-of-order": lambda g: round(far_slope(round(g["order"]))),
    "down-by-thumb": lambda g: g["octaves"] * round(far_slope(round(g["slope_db_per_octave"] / 6))),
    "butterworth-down": lambda g: -db(left("butterworth", g["slope_db_per_octave"], g["corner_hz"], g["tone_hz"])),
    "down-at-corner": lambda g: -db(left(family(g), g["slope_db_per_octave"], 25.0, 25.0)),
    "volts-of-q": second_order,
    "travels-more": travels_more,
    "two-filters": two_filters,
    "filter-needed": filter_needed,
    "travel-of-down": lambda g: g["travel_mm"] * share(g["down_db"]),
    "knob-for-cone": lambda g: "up" if g["corner_hz"] < g["safe_corner_hz"] else "down",
    "limit-in-volts": lambda g: float(limit(g)),
    "limit-in-percent": lambda g: float(100 * limit(g) / exact(g["reading_v"])),
    "display-step": lambda g: float(exact(g["range_v"]) / exact(g["counts"])),
    "hunting-middle": lambda g: float((exact(g["low_v"]) + exact(g["high_v"])) / 2),
    "hunting-limit": lambda g: float((exact(g["high_v"]) - exact(g["low_v"])) / 2),
    # The true volts, both of them, and their level.
    "gain-error": lambda g: -db(
        (g["reading_v"] / (1 - g["droop_percent"] / 100)) / (g["reference_v"] / (1 - g["droop_percent"] / 100))
    ),
    "in-band": lambda g: "yes" if g["tone_hz"] >= g["band_starts_hz"] else "no",
    "window-end": window_end,
    "accept-end": accept_end,
    "verdict": verdict,
    # A Butterworth passes more with a lower corner: too many volts ask for a higher one.
    "which-way": lambda g: "up"
    if corner_for("butterworth", 24, 25.0, g["reading_v"] / 20) < corner_for("butterworth", 24, 25.0, g["target_v"] / 20)
    else "down",
    "target-at-corner": lambda g: g["reference_v"] * left(family(g), g["slope_db_per_octave"], 25.0, 25.0),
    "volts-at-tone": lambda g: g["reference_v"] * left(family(g), g["slope_db_per_octave"], g["corner_hz"], g["tone_hz"]),
    "true-reference": lambda g: g["reading_v"] / left(family(g), g["slope_db_per_octave"], g["mark_hz"], g["tone_hz"]),
    "corner-of-reading": lambda g: corner_for(
        family(g), g["slope_db_per_octave"], g["tone_hz"], g["reading_v"] / g["reference_v"]
    ),
    "other-family": other_family,
    # IEC 61010-1, 6.3.1: 30 V rms (from memory).
    "hazard": lambda g: "yes" if g["reading_v"] > 30.0 else "no",
    "safe-bench": lambda g: BENCH[round(g["case"])],
}


def at_corner(name):
    return lambda g: g["reference_v"] * left(name, g["slope_db_per_octave"], 25.0, 25.0)


def other_end(g):
    return window_end({**g, "upper": 1 - g["upper"]})


def the_other(g):
    """The family that a filter was taken for; where it has no such slope, nobody can."""
    return "butterworth" if family(g) == "linkwitz_riley" else "linkwitz_riley"


def far_decade(order):
    """dB a decade, measured far below the corner."""
    upper, lower = (left("butterworth", 6 * order, 10000.0, tone) for tone in (10.0, 1.0))
    return db(upper / lower)


# What known mistakes give, by words that their names hold.
MISTAKES = {
    "ratio-of-down": {
        "10 log in place": lambda g: mean_power(share(g["down_db"]), 1.0),
        "upside down": lambda g: math.exp(math.log(10.0) * g["down_db"] / 20),
    },
    "down-of-ratio": {
        "10 log in place": lambda g: -10 * math.log10(g["ratio"]),
        "natural": lambda g: -20 * math.log(g["ratio"]),
    },
    "down-of-volts": {
        "10 log in place": lambda g: 10 * math.log10(g["reference_v"] / g["reading_v"]),
        "difference": lambda g: float(exact(g["reference_v"]) - exact(g["reading_v"])),
    },
    "volts-of-down": {
        "10 log in place": lambda g: g["reference_v"] * share(2 * g["down_db"]),
        "upside down": lambda g: g["reference_v"] / share(g["down_db"]),
        "dB for per cent": lambda g: float(exact(g["reference_v"]) * (100 - exact(g["down_db"])) / 100),
    },
    "power-of-down": {"20 log in place": lambda g: 100 * share(g["down_db"])},
    "power-share": {"share of the volts": lambda g: 100 * g["reading_v"] / g["reference_v"]},
    # The current is what the power over the volts is.
    "volts-of-power": {"current": lambda g: g["power_w"] / FORMS["volts-of-power"](g)},
    "power-of-volts": {"current": lambda g: mean_power(g["reference_v"], g["load_ohm"]) / g["reference_v"]},
    "corner-three-quarters": {"tuning in place": lambda g: g["tuning_hz"], "whole octave": lambda g: g["tuning_hz"] / 2},
    "corner-half-octave": {"tuning in place": lambda g: g["tuning_hz"], "whole octave": lambda g: g["tuning_hz"] / 2},
    "corner-octave": {"half an octave": lambda g: math.sqrt(g["tuning_hz"] * g["tuning_hz"] / 2)},
    "octaves-between": {"decades": lambda g: float(numpy.log10(g["high_hz"]) - numpy.log10(g["low_hz"]))},
    "octaves-below": {"above": lambda g: g["frequency_hz"] ** 2 / FORMS["octaves-below"](g)},
    "slope-of-order": {"per decade": lambda g: round(far_decade(round(g["order"])))},
    "down-by-thumb": {"order times": lambda g: g["octaves"] * round(g["slope_db_per_octave"] / 6)},
    "butterworth-down": {
        "upside down": lambda g: -db(left("butterworth", g["slope_db_per_octave"], g["tone_hz"], g["corner_hz"])),
        "root is left out": lambda g: -2 * db(left("butterworth", g["slope_db_per_octave"], g["corner_hz"], g["tone_hz"])),
        # Half the order, the same ratio.
        "half of p": lambda g: 10 * math.log10(1 + math.hypot(0, g["corner_hz"] / g["tone_hz"]) ** (g["slope_db_per_octave"] / 6)),
    },
    "volts-of-q": {"Butterworth": lambda g: g["reference_v"] * math.sqrt(0.5)},
    "limit-in-volts": {
        "as per cent": lambda g: (g["accuracy_percent"] + g["digits"]) * g["reading_v"] / 100,
        "digits are left out": lambda g: g["accuracy_percent"] * g["reading_v"] / 100,
    },
    "limit-in-percent": {"as per cent": lambda g: g["accuracy_percent"] + g["digits"]},
    "hunting-limit": {"whole span": lambda g: float(exact(g["high_v"]) - exact(g["low_v"]))},
    "window-end": {
        "other end": other_end,
        "window of the corner": lambda g: at_corner("butterworth")(g)
        * (1 + (1 if g["upper"] else -1) * g["tolerance_percent"] / 100),
    },
    "accept-end": {
        "added to": lambda g: g["high_v"] + g["guard_v"] if g["upper"] else g["low_v"] - g["guard_v"],
    },
    "target-at-corner": {
        "target of a Butterworth": at_corner("butterworth"),
        "target of a Linkwitz-Riley": at_corner("linkwitz_riley"),
    },
    "volts-at-tone": {
        "upside down": lambda g: g["reference_v"]
        * left(family(g), g["slope_db_per_octave"], g["tone_hz"], g["corner_hz"]),
        "left at the corner": lambda g: at_corner(family(g))(g),
        "other family": lambda g: g["reference_v"]
        * left(the_other(g), g["slope_db_per_octave"], g["corner_hz"], g["tone_hz"]),
    },
    "true-reference": {
        "reading at the mark": lambda g: g["reading_v"],
        "upside down": lambda g: g["reading_v"]
        / left(family(g), g["slope_db_per_octave"], g["tone_hz"], g["mark_hz"]),
    },
    "corner-of-reading": {
        "That is the tone": lambda g: g["tone_hz"],
        "other family": lambda g: corner_for(
            the_other(g), g["slope_db_per_octave"], g["tone_hz"], g["reading_v"] / g["reference_v"]
        ),
    },
    "travel-of-down": {
        "10 log in place": lambda g: mean_power(share(g["down_db"]), 1.0) * g["travel_mm"],
        "upside down": lambda g: g["travel_mm"] * math.exp(math.log(10.0) * g["down_db"] / 20),
    },
    "other-family": {
        "takes the family that was told": lambda g: g["tone_hz"],
        "wrong way round": lambda g: g["tone_hz"] ** 2 / other_family(g),
    },
}


def main():
    for line in sys.stdin:
        question = json.loads(line)
        form, given = question["form"], question["given"]
        mistakes = {words: gives(given) for words, gives in MISTAKES.get(form, {}).items()}
        print(json.dumps({"answer": FORMS[form](given), "mistakes": mistakes}))


if __name__ == "__main__":
    main()
