"""The tuning of a box from its port, and sweeps with a meter across the terminals from which it can be read.

Reckoned apart from the program, from sections 4 and 5 of the design. Ports: the Helmholtz resonance with a correction for
each end. Sweeps: the driver in its box as a network (see displacement.py), fed through a series resistor; what a meter
would show at each tone, rounded to its display, beside the true minimum and maxima of the impedance.
"""

import json
import math
import sys

import numpy

sys.dont_write_bytecode = True
import tables  # noqa: E402
from displacement import A, C, LARGE, LOOSE, LONG_THROW, SMALL, Circuit, printed, root_between, sealed, vented  # noqa: E402

# In radii. Levine and Schwinger, Phys. Rev. 73 (1948): a free end. Dalmont, Nederveen and Joly, J. Sound Vib. 244 (2001):
# an end in an infinite flange.
FREE, FLANGED = 0.6133, 0.8216
# Where the impedance is searched.
SEARCHED_HZ = (3.0, 400.0)
# A maximum or a minimum that is to be seen stands out by so many display steps.
STEPS = 3


def port(volume, length, diameter=None, slot=None, ports=1, flanged=1):
    return {
        "volume_l": volume,
        "port_diameter_cm": diameter,
        "slot_cm": slot,
        "port_length_cm": length,
        "ports": ports,
        "flanged_ends": flanged,
    }


PORTS = [
    # One round port, the usual one flanged end; then both, then none.
    port(48.0, 22.0, 10.2),
    port(48.0, 22.0, 10.2, flanged=2),
    port(48.0, 22.0, 10.2, flanged=0),
    port(28.0, 17.5, 6.8),
    port(60.0, 31.0, 10.2),
    port(85.0, 45.0, 15.2),
    port(140.0, 38.0, 20.0, flanged=2),
    port(15.0, 12.0, 5.0, flanged=0),
    port(200.0, 60.0, 25.0),
    # As long as wide, and shorter.
    port(33.0, 7.5, 7.5),
    port(55.0, 2.0, 10.0),
    port(55.0, 2.0, 10.0, flanged=2),
    port(55.0, 1.8, 10.0, flanged=0),
    # Several: the areas add, the corrections do not.
    port(48.0, 22.0, 10.2, ports=2),
    port(48.0, 22.0, 7.5, ports=2, flanged=2),
    port(110.0, 35.0, 10.2, ports=3),
    port(160.0, 48.0, 15.2, ports=4, flanged=0),
    # Slots count as the circle of their area.
    port(48.0, 40.0, slot=[4.0, 28.0]),
    port(48.0, 40.0, slot=[28.0, 4.0], flanged=2),
    port(48.0, 40.0, slot=[4.0, 28.0], flanged=0),
    port(75.0, 62.0, slot=[5.0, 36.0], flanged=2),
    port(34.0, 55.0, slot=[3.5, 30.0]),
    port(120.0, 50.0, slot=[6.0, 38.0], ports=2),
    port(48.0, 25.0, slot=[8.0, 8.0], flanged=1),
]


def resonance(inputs):
    """f = c / (2 pi) sqrt(S / (V L))."""
    if inputs["slot_cm"]:
        area = inputs["slot_cm"][0] * inputs["slot_cm"][1] * 1e-4
    else:
        area = math.pi * (inputs["port_diameter_cm"] * 1e-2) ** 2 / 4.0
    radius = math.sqrt(area / math.pi)
    flanged = inputs["flanged_ends"]
    length = inputs["port_length_cm"] * 1e-2 + (flanged * FLANGED + (2 - flanged) * FREE) * radius
    volume = inputs["volume_l"] * 1e-3
    return {
        "tuning_hz": C / (2.0 * math.pi) * math.sqrt(inputs["ports"] * area / (volume * length)),
        "effective_port_length_cm": length * 100.0,
    }


def handbook_length(tuning, volume, diameter, ports, flanged):
    """P64: Lv = 23562.5 D^2 N / (fB^2 VB) - k D in cm and litres (a handbook's; written down from memory)."""
    return 23562.5 * diameter**2 * ports / (tuning**2 * volume) - (0.614, 0.732, 0.850)[flanged] * diameter


def hold_to_handbooks():
    # P65: a printed example of that formula.
    length = handbook_length(40.0, 30.0, 7.0, 1, 1)
    printed(length, "18.9294")
    assert abs(resonance(port(30.0, length, 7.0))["tuning_hz"] / 40.0 - 1.0) < 0.01
    # P63: the same in inches, Lv = 1.463e7 R^2 / (fB^2 VB) - 1.463 R (Dickason, The Loudspeaker Design Cookbook; from
    # memory).
    inch = 2.54
    radius, volume = 7.0 / 2.0 / inch, 30e3 / inch**3
    assert abs((1.463e7 * radius**2 / (40.0**2 * volume) - 1.463 * radius) * inch / length - 1.0) < 0.01
    # Every round port that is not shorter than wide: within 1 %. The handbook has 344.15 m/s and other ends.
    for inputs in PORTS:
        if inputs["port_diameter_cm"] and inputs["port_length_cm"] >= inputs["port_diameter_cm"]:
            args = (inputs["volume_l"], inputs["port_diameter_cm"], inputs["ports"], inputs["flanged_ends"])
            tuning = root_between(lambda hz: handbook_length(hz, *args) - inputs["port_length_cm"], 5.0, 300.0)
            assert abs(resonance(inputs)["tuning_hz"] / tuning - 1.0) < 0.01, inputs


def tones(low, high, count, digits=1):
    return [float(hz) for hz in numpy.round(numpy.geomspace(low, high, count), digits)]


def sweep(driver, box, series_ohm, source_v, at_hz, step=0.001, why=None, **other):
    """`why` it must be refused, or None; `other` are parameters of the driver that differ."""
    return {
        "driver": {**driver, **other}, "box": box, "series_ohm": series_ohm, "source_v": source_v, "tones_hz": at_hz,
        "resolution_v": step, "why": why,
    }


SWEEPS = [
    # Driver A in the box of P60.
    sweep(A, vented(60.0, 33.0), 100.0, 8.0, tones(10.0, 100.0, 40)),
    sweep(A, vented(60.0, 33.0), 1000.0, 8.0, tones(10.0, 100.0, 40)),
    sweep(A, vented(60.0, 33.0), 8.0, 2.0, tones(10.0, 100.0, 40)),
    sweep(A, vented(60.0, 33.0, 20.0), 100.0, 5.0, tones(5.0, 200.0, 60)),
    sweep(A, vented(60.0, 33.0, 5.0), 100.0, 5.0, tones(5.0, 200.0, 60)),
    sweep(A, vented(60.0, 33.0), 47.0, 5.0, tones(8.0, 110.0, 12, 0)),
    sweep(A, vented(60.0, 33.0), 220.0, 12.0, [float(hz) for hz in range(10, 71)], step=0.01),
    # With inductance the impedance rises above the upper peak, in the end past the minimum at the tuning.
    sweep(A, vented(60.0, 33.0), 100.0, 8.0, tones(5.0, 200.0, 60), le_mh=2.2),
    sweep(LONG_THROW, vented(48.0, 36.0), 100.0, 8.0, tones(8.0, 160.0, 45)),
    sweep(LONG_THROW, vented(48.0, 36.0), 10.0, 3.0, tones(8.0, 160.0, 24)),
    sweep(LONG_THROW, vented(48.0, 27.5, 10.0), 470.0, 12.0, tones(8.0, 120.0, 30)),
    sweep(LONG_THROW, vented(34.0, 45.0, 5.0), 150.0, 6.0, tones(10.0, 180.0, 36), step=0.01),
    sweep(LARGE, vented(160.0, 21.0), 100.0, 8.0, tones(5.0, 120.0, 50)),
    sweep(LARGE, vented(110.0, 26.0, 8.0), 33.0, 2.5, tones(6.0, 120.0, 16)),
    sweep(LARGE, vented(90.0, 17.0, 15.0), 1000.0, 20.0, tones(5.0, 150.0, 60)),
    sweep(LARGE, vented(110.0, 26.0, 12.0), 68.0, 6.0, [float(hz) for hz in range(8, 82, 2)], step=0.01),
    sweep(SMALL, vented(18.0, 46.0), 100.0, 8.0, tones(12.0, 200.0, 40)),
    sweep(SMALL, vented(25.0, 38.0, 20.0), 330.0, 15.0, tones(10.0, 160.0, 28)),
    sweep(SMALL, vented(12.0, 60.0, 6.0), 22.0, 4.0, tones(15.0, 200.0, 14, 0)),
    sweep(LOOSE, vented(100.0, 24.0), 100.0, 8.0, tones(6.0, 100.0, 40)),
    sweep(LOOSE, vented(60.0, 26.0, 9.0), 560.0, 20.0, tones(6.0, 120.0, 55), step=0.01),
    # Nothing to be read: one peak only, a peak outside the range, too little to see two.
    sweep(A, sealed(60.0), 100.0, 8.0, tones(10.0, 100.0, 40), why="sealed box"),
    sweep(LONG_THROW, sealed(22.0, 8.0), 100.0, 8.0, tones(5.0, 200.0, 60), why="sealed box"),
    sweep(SMALL, sealed(9.0), 1000.0, 12.0, tones(12.0, 200.0, 12, 0), why="sealed box"),
    sweep(A, vented(60.0, 33.0), 100.0, 8.0, tones(20.0, 120.0, 30), why="lower peak missed"),
    sweep(LARGE, vented(90.0, 17.0, 15.0), 100.0, 8.0, tones(10.0, 150.0, 40), why="lower peak missed"),
    sweep(A, vented(60.0, 33.0), 100.0, 8.0, tones(10.0, 48.0, 30), why="upper peak missed"),
    sweep(SMALL, vented(12.0, 60.0, 6.0), 100.0, 8.0, tones(12.0, 85.0, 30), why="upper peak missed"),
    sweep(A, vented(60.0, 33.0), 100.0, 8.0, [18.0, 33.0, 51.0], why="too few tones"),
    sweep(LONG_THROW, vented(48.0, 36.0), 100.0, 8.0, [15.0, 25.0, 36.0, 60.0], why="too few tones"),
    sweep(A, vented(60.0, 33.0), 0.001, 8.0, tones(10.0, 100.0, 40), step=0.01, why="constant voltage"),
]


def turns(values):
    """Where a list has its maxima and minima, ends left out; of equal neighbours, the middle one."""
    runs = []
    for i, value in enumerate(values):
        if runs and values[runs[-1][0]] == value:
            runs[-1].append(i)
        else:
            runs.append([i])
    maxima, minima = [], []
    for before, run, after in zip(runs, runs[1:], runs[2:]):
        left, here, right = (values[one[0]] for one in (before, run, after))
        if left < here > right:
            maxima.append(run[len(run) // 2])
        if left > here < right:
            minima.append(run[len(run) // 2])
    return maxima, minima


def fine_turns(function):
    """The same of a function of frequency, by the zeros of its logarithmic slope."""
    hz = numpy.geomspace(*SEARCHED_HZ, 2001)
    slopes = [function(at) for at in hz]
    maxima, minima = [], []
    for i in range(len(hz) - 1):
        if slopes[i] > 0.0 >= slopes[i + 1]:
            maxima.append(root_between(function, hz[i], hz[i + 1]))
        if slopes[i] < 0.0 <= slopes[i + 1]:
            minima.append(root_between(function, hz[i], hz[i + 1]))
    return maxima, minima


def row(made_from):
    """What a meter shows, and what the box really is."""
    circuit = Circuit(made_from["driver"], made_from["box"], made_from["source_v"])
    series, step, at_hz = made_from["series_ohm"], made_from["resolution_v"], made_from["tones_hz"]

    def reading(hz):
        impedance = circuit.impedance(hz)
        return made_from["source_v"] * numpy.abs(impedance / (impedance + series))

    exact = reading(numpy.array(at_hz)) / step
    assert (numpy.abs(exact % 1.0 - 0.5) > 1e-6).all(), "a last digit too close to call"
    counts = [round(float(value)) for value in exact]
    digits = len(f"{step:g}".partition(".")[2])
    inputs = {
        "series_ohm": series,
        "source_v": made_from["source_v"],
        "pairs": [f"{hz:g}={count * step:.{digits}f}" for hz, count in zip(at_hz, counts)],
    }
    common = {"inputs": inputs, "resolution_v": step, "driver": made_from["driver"], "box": made_from["box"]}
    maxima, minima = turns(counts)
    if made_from["why"]:
        assert len(maxima) < 2, "two peaks in what must be refused"
        return {"kind": "refused", "why": made_from["why"], **common}

    peaks, lows = fine_turns(circuit.impedance_slope)
    assert len(peaks) == 2
    (minimum,) = (hz for hz in lows if peaks[0] < hz < peaks[1])

    def slope(hz):
        """d ln V / d ln f: of Z less that of Z + R."""
        supply, slopes = (part[circuit.unknowns["supply"]] for part in circuit.solve(hz))
        impedance = -circuit.volts / supply
        relative = -slopes / supply
        return float((relative * (1.0 - impedance / (impedance + series))).real)

    # The meter's readings have the same two peaks, and the lowest between them stands beside the true minimum.
    assert len(maxima) == 2
    (lowest,) = (i for i in minima if maxima[0] < i < maxima[1])
    assert all(counts[i] - counts[lowest] >= STEPS for i in maxima)
    assert counts[maxima[0]] - counts[0] >= STEPS and counts[maxima[1]] - min(counts[maxima[1]:]) >= STEPS
    as_low = [i for i in range(maxima[0], maxima[1]) if counts[i] == counts[lowest]]
    between = [at_hz[as_low[0] - 1], at_hz[as_low[-1] + 1]]
    shown_peaks, shown_lows = fine_turns(slope)
    (shown,) = (hz for hz in shown_lows if shown_peaks[0] < hz < shown_peaks[1])
    assert between[0] < shown < between[1]
    return {
        "kind": "vented",
        **common,
        "expected": {
            "impedance_minimum_hz": minimum,
            "impedance_minimum_ohm": float(numpy.abs(circuit.impedance(minimum))),
            "impedance_peaks_hz": peaks,
            "reading_minimum_hz": shown,
            "reading_minimum_between_hz": between,
            "tuning_hz": made_from["box"]["tuning_hz"],
            "re_ohm": made_from["driver"]["re_ohm"],
        },
    }


if __name__ == "__main__":
    hold_to_handbooks()
    SWEPT = [row(made_from) for made_from in SWEEPS]
    # P60: what the first sweep must say.
    for hz, text in zip([*SWEPT[0]["expected"]["impedance_peaks_hz"], SWEPT[0]["expected"]["impedance_minimum_hz"]],
                        ["18.105", "51.115", "32.4923"]):
        printed(hz, text)
    tables.main(
        __file__,
        "tuning.ndjson",
        "Tunings, one a line: from a port's dimensions, from a sweep of readings, and sweeps that say nothing.",
        [
            "source: ports by the Helmholtz resonance, ends 0.6133 r free (Levine and Schwinger, Phys. Rev. 73 (1948)) and",
            "0.8216 r flanged (Dalmont, Nederveen and Joly, J. Sound Vib. 244 (2001)), c 345 m/s; sweeps by modified nodal",
            "analysis, numpy.linalg.solve, extremes by scipy.optimize.brentq; see tuning.py and displacement.py",
        ],
        [json.dumps({"kind": "port", "inputs": inputs, "expected": resonance(inputs)}) for inputs in PORTS]
        + [json.dumps(one) for one in SWEPT],
        json.loads,
    )
