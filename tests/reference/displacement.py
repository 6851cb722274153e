"""Cone displacement in a box, what a low-cut filter does to it, and the lowest corner that holds the cone.

Reckoned apart from the program, from sections 4 and 5 of the design. The electro-mechano-acoustical circuit is written
down element by element and solved as a whole (modified nodal analysis, numpy.linalg.solve): no transfer function stands
in this file. Filters are scipy.signal's. Peaks, crossings and corners are roots found by scipy.optimize.brentq.

Before the table is written or compared, the circuit is held to printed figures (P46 to P69 of the project's list of check
values, each with its source), to the same box as equations of motion run in time, and to a Butterworth alignment.
"""

import json
import math
import sys

import numpy
import scipy.optimize
import scipy.signal

sys.dont_write_bytecode = True
import tables  # noqa: E402

# Small, Closed-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 20 (Dec 1972), glossary.
RHO, C = 1.18, 345.0
# Of a vented box unless given, at its tuning.
QL = 7.0
TOP_HZ = 200.0
F3_HZ = (1.0, 500.0)
HALF_POWER = 0.5**0.5
RULES = {"three-quarters": 0.75, "half-octave": 2.0**-0.5, "octave": 0.5}
# Frequencies at which every row states the displacement.
CURVE_HZ = [5.0, 8.0, 10.0, 14.0, 20.0, 26.25, 33.0, 38.0, 47.0, 80.0, 125.0, 200.0]
# Steps of the grids on which maxima and crossings are first seen.
FREQUENCIES, CORNERS = 3001, 1500
# Corners are looked for from here; no row may need one below what a knob may be marked.
LOWEST_CORNER_HZ, RANGE_LOW_HZ = 0.3, 5.0
# Where two candidates for a maximum, or a limit and what is held to it, are closer than this (relative), the last bits
# would decide: no such case belongs in the table.
MARGIN = 1e-5
# As good as none: (it / 50 Hz)^2 is 4e-10.
DC_HZ = 1e-3
# brentq: as close as a double can.
CLOSE = {"xtol": 1e-15, "rtol": 4 * numpy.finfo(float).eps, "maxiter": 300}


class Network:
    """Modified nodal analysis: (G + s D) X = b. Unknowns are nodes and branch currents, by name; "0" is the ground.

    A node's value is a voltage, a force or a pressure; a branch's a current, a velocity or a volume velocity.
    """

    def __init__(self):
        self.unknowns, self.entries, self.right = {}, [], {}

    def at(self, name):
        return self.unknowns.setdefault(name, len(self.unknowns))

    def put(self, row, column, value, power=0):
        if row != "0" and column != "0":
            self.entries.append((self.at(row), self.at(column), value, power))

    def admittance(self, a, b, value, power):
        for row, column, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
            self.put(row, column, sign * value, power)

    def resistor(self, a, b, resistance):
        self.admittance(a, b, 1.0 / resistance, 0)

    def capacitor(self, a, b, capacitance):
        self.admittance(a, b, capacitance, 1)

    def branch(self, name, a, b):
        """Its current flows from a to b; its own row starts with the difference across it."""
        self.put(a, name, 1.0)
        self.put(b, name, -1.0)
        self.put(name, a, 1.0)
        self.put(name, b, -1.0)

    def inductor(self, name, a, b, inductance):
        self.branch(name, a, b)
        self.put(name, name, -inductance, 1)

    def source(self, name, a, b, value):
        self.branch(name, a, b)
        self.right[self.at(name)] = value

    def controlled(self, name, a, b, factor, by):
        """Across it: a factor times the current of another branch."""
        self.branch(name, a, b)
        self.put(name, by, -factor)

    def transformer(self, name, a, b, area):
        """From force and velocity at a to pressure and volume velocity at b: F = area p, and area u flows out into b."""
        self.branch(name, a, "0")
        self.put(name, b, -area)
        self.put(b, name, -area)

    def matrices(self):
        """G, D and b, rows and columns scaled by powers of two so that farads and newtons stand on one footing."""
        size = len(self.unknowns)
        parts = [numpy.zeros((size, size)), numpy.zeros((size, size))]
        for row, column, value, power in self.entries:
            parts[power][row, column] += value
        right = numpy.zeros(size)
        for row, value in self.right.items():
            right[row] = value
        # About the size that the entries have in the middle of the band.
        size_of = numpy.abs(parts[0]) + 200.0 * numpy.abs(parts[1])
        columns = numpy.ones(size)
        rows = numpy.ones(size)
        for _ in range(20):
            rows /= 2.0 ** numpy.round(numpy.log2(self.middle(size_of * rows[:, None] * columns, 1)))
            columns /= 2.0 ** numpy.round(numpy.log2(self.middle(size_of * rows[:, None] * columns, 0)))
        scale = rows[:, None] * columns
        return parts[0] * scale, parts[1] * scale, right * rows, columns

    @staticmethod
    def middle(values, axis):
        """Geometric middle of the smallest and the largest entry that is not zero."""
        return numpy.sqrt(
            numpy.where(values > 0.0, values, numpy.inf).min(axis=axis) * values.max(axis=axis)
        )


def mechanical(driver):
    """Cms, Mms, Rms, BL from Thiele/Small parameters, in SI units (Small 1972)."""
    area, w = driver["sd_cm2"] * 1e-4, 2.0 * math.pi * driver["fs_hz"]
    compliance = driver["vas_l"] * 1e-3 / (RHO * C**2 * area**2)
    mass = 1.0 / (w**2 * compliance)
    return compliance, mass, w * mass / driver["qms"], math.sqrt(w * mass * driver["re_ohm"] / driver["qes"])


def acoustical(driver, box):
    """Compliance, port mass (None without a port) and leakage resistance (infinite without a leak) of a box."""
    compliance = box["volume_l"] * 1e-3 / (RHO * C**2)
    if box["kind"] == "vented":
        w, ql = 2.0 * math.pi * box["tuning_hz"], box["leakage_q"] or QL
        return compliance, 1.0 / (w**2 * compliance), ql / (w * compliance)
    w = 2.0 * math.pi * driver["fs_hz"] * math.sqrt(1.0 + driver["vas_l"] / box["volume_l"])
    return compliance, None, (box["leakage_q"] or math.inf) / (w * compliance)


class Circuit:
    """A driver in a box at a voltage: everything that is read off the solved network."""

    def __init__(self, driver, box, volts):
        self.driver, self.box, self.volts = driver, box, volts
        self.area = driver["sd_cm2"] * 1e-4
        compliance, mass, resistance, force_factor = mechanical(driver)
        free_air = box["kind"] == "free-air"
        network = Network()
        # Electrical: volts and amperes.
        network.source("supply", "terminals", "0", volts)
        network.resistor("terminals", "wire", driver["re_ohm"])
        network.inductor("coil", "wire", "coil end", driver["le_mh"] * 1e-3)
        network.controlled("back emf", "coil end", "0", force_factor, "cone")
        # Mechanical: newtons and metres a second. The motor pushes the cone with BL i.
        network.controlled("motor", "push", "0", force_factor, "coil")
        network.inductor("cone", "push", "after mass", mass)
        network.resistor("after mass", "after loss", resistance)
        network.capacitor("after loss", "0" if free_air else "piston", compliance)
        # Acoustical: pascals and cubic metres a second.
        if not free_air:
            network.transformer("air", "piston", "box", self.area)
            self.box_compliance, port_mass, leakage = acoustical(driver, box)
            network.capacitor("box", "0", self.box_compliance)
            if port_mass is not None:
                network.inductor("port", "box", "0", port_mass)
            if math.isfinite(leakage):
                network.resistor("box", "0", leakage)
        self.g, self.d, self.right, self.columns = network.matrices()
        self.unknowns = network.unknowns
        # The level of the output far above everything: the cone's mass alone, no inductance.
        self.level = volts * force_factor / (driver["re_ohm"] * mass) * self.area

    def solve(self, hz):
        """The unknowns at a frequency, and their derivative with the logarithm of the frequency."""
        w = 2.0 * math.pi * numpy.asarray(hz, dtype=float)
        matrix = self.g + 1j * w[..., None, None] * self.d
        right = numpy.broadcast_to(self.right, w.shape + self.right.shape)[..., None]
        values = numpy.linalg.solve(matrix, right)
        slopes = numpy.linalg.solve(matrix, -1j * w[..., None, None] * self.d @ values)
        return values[..., 0] * self.columns, slopes[..., 0] * self.columns

    def of(self, name, hz):
        """One unknown, and d ln|it| / d ln f."""
        values, slopes = self.solve(hz)
        value = values[..., self.unknowns[name]]
        return value, (slopes[..., self.unknowns[name]] / value).real

    def displacement(self, hz):
        """Peak, one way, in mm."""
        return math.sqrt(2.0) * 1e3 * numpy.abs(self.of("cone", hz)[0]) / (2.0 * math.pi * numpy.asarray(hz))

    def slope(self, hz):
        """d ln x / d ln f."""
        return float(self.of("cone", hz)[1]) - 1.0

    def output(self, hz):
        """Sound pressure over its limit at high frequencies: what goes into the box comes out of cone, port and leak."""
        w = 2.0 * math.pi * numpy.asarray(hz)
        if self.box["kind"] == "free-air":
            return w * numpy.abs(self.of("cone", hz)[0]) * self.area / self.level
        return w**2 * self.box_compliance * numpy.abs(self.of("box", hz)[0]) / self.level

    def impedance(self, hz):
        """Across the terminals; the supply's current flows into it."""
        return -self.volts / self.of("supply", hz)[0]

    def impedance_slope(self, hz):
        """d ln|Z| / d ln f."""
        return -float(self.of("supply", hz)[1])


class HighPass:
    """A filter as scipy.signal has it, its corner at 1 rad/s."""

    def __init__(self, family, slope, q=None):
        order = slope // 6
        kind = {"btype": "highpass", "analog": True, "output": "zpk"}
        if family == "butterworth":
            zpk = scipy.signal.butter(order, 1.0, **kind)
        elif family == "linkwitz-riley":
            zeros, poles, gain = scipy.signal.butter(order // 2, 1.0, **kind)
            zpk = numpy.tile(zeros, 2), numpy.tile(poles, 2), gain**2
        elif family == "bessel":
            zpk = scipy.signal.bessel(order, 1.0, norm="mag", **kind)
        else:
            zpk = scipy.signal.tf2zpk([1.0, 0.0, 0.0], [1.0, 1.0 / q, 1.0])
        self.zpk = zpk

    def gain(self, hz, corner):
        return numpy.abs(scipy.signal.freqs_zpk(*self.zpk, worN=numpy.atleast_1d(hz) / corner)[1])

    def slope(self, hz, corner):
        """d ln|H| / d ln f."""
        zeros, poles, _ = self.zpk
        s = 1j * hz / corner
        return float((s * ((1.0 / (s - zeros)).sum() - (1.0 / (s - poles)).sum())).real)


class Span:
    """The displacement of a circuit between two frequencies, through a filter or not."""

    def __init__(self, circuit, filter_, low, high):
        self.circuit, self.filter = circuit, filter_
        self.hz = numpy.geomspace(low, high, FREQUENCIES)
        self.hz[0], self.hz[-1] = low, high
        self.mm = circuit.displacement(self.hz)

    def through(self, corner):
        """On the grid."""
        return self.mm if corner is None else self.mm * self.filter.gain(self.hz, corner)

    def at(self, hz, corner):
        gain = 1.0 if corner is None else float(self.filter.gain(hz, corner)[0])
        return float(self.circuit.displacement(hz)) * gain

    def peak(self, corner=None, alone=True):
        """The largest displacement and where: an end of the span, or where the slope is zero."""
        values = self.through(corner)

        def slope(log_hz):
            hz = math.exp(log_hz)
            return self.circuit.slope(hz) + (0.0 if corner is None else self.filter.slope(hz, corner))

        last = len(values) - 1
        found = [(self.at(self.hz[i], corner), float(self.hz[i])) for i in (0, last)]
        near = 0.999 * values.max()
        for i in range(last + 1):
            if values[i] < near or (i and values[i - 1] > values[i]) or (i < last and values[i + 1] > values[i]):
                continue
            low, high = (math.log(self.hz[j]) for j in (max(i - 1, 0), min(i + 1, last)))
            if slope(low) > 0.0 > slope(high):
                hz = math.exp(scipy.optimize.brentq(slope, low, high, **CLOSE))
                found.append((self.at(hz, corner), hz))
        found.sort(reverse=True)
        if alone:
            others = [mm for mm, hz in found[1:] if abs(hz / found[0][1] - 1.0) > 0.01]
            assert all(mm < found[0][0] * (1.0 - MARGIN) for mm in others), "two peaks of one height"
        return found[0]


def decided(value, limit):
    """Whether a value passes a limit; no case may be closer than rounding can tell."""
    assert abs(value / limit - 1.0) > MARGIN, "too close to call"
    return value > limit


def over_below(span, xmax):
    """The highest frequency of a span at which Xmax is passed."""
    passed = span.mm > xmax
    if decided(float(span.mm[-1]), xmax):
        return float(span.hz[-1])
    if not passed.any():
        return None
    i = int(numpy.nonzero(passed)[0][-1])

    def miss(log_hz):
        return math.log(span.at(math.exp(log_hz), None) / xmax)

    return math.exp(scipy.optimize.brentq(miss, math.log(span.hz[i]), math.log(span.hz[i + 1]), **CLOSE))


def lowest_safe_corner(span, xmax, top):
    """The lowest corner, up to a top, that keeps the peak of a span within Xmax; None where none does.

    Which corners hold the cone need not be one interval: a second-order filter lifts what lies above its corner. So the
    corners are walked through from far below, and every dip of the peak that comes near Xmax is followed to its bottom.
    """
    corners = numpy.geomspace(LOWEST_CORNER_HZ, top, CORNERS)
    corners[-1] = top
    peaks = numpy.array([span.through(corner).max() for corner in corners])

    def miss(log_corner):
        return math.log(span.peak(math.exp(log_corner), alone=False)[0] / xmax)

    assert miss(math.log(corners[0])) > 0.0, "a filter with no effect holds the cone"
    for i in range(1, CORNERS):
        low, high = math.log(corners[i - 1]), math.log(corners[i])
        if peaks[i] > 1.05 * xmax:
            continue
        if i + 1 < CORNERS and peaks[i - 1] >= peaks[i] <= peaks[i + 1] and miss(high) > 0.0:
            dip = scipy.optimize.minimize_scalar(
                miss, bounds=(low, math.log(corners[i + 1])), method="bounded", options={"xatol": 1e-9}
            )
            assert abs(dip.fun) > MARGIN, "too close to call"
            high = dip.x
        if miss(high) <= 0.0:
            return math.exp(scipy.optimize.brentq(miss, low, high, **CLOSE))
    decided(span.peak(top)[0], xmax)
    return None


def f3(circuit, filter_=None, corner=None):
    """The highest frequency at which the response rises through half power."""
    hz = numpy.geomspace(*F3_HZ, FREQUENCIES)

    def above(at):
        gain = 1.0 if filter_ is None else filter_.gain(at, corner)
        return circuit.output(at) * gain / HALF_POWER - 1.0

    values = above(hz)
    inner = values[1:-1]
    turns = (inner - values[:-2]) * (inner - values[2:]) > 0.0
    assert not (turns & (numpy.abs(inner) < 1e-4)).any(), "a turn too close to half power"
    rises = numpy.nonzero((values[:-1] < 0.0) & (values[1:] >= 0.0))[0]
    if not len(rises):
        return None

    def miss(log_hz):
        return float(numpy.squeeze(above(math.exp(log_hz))))

    i = int(rises[-1])
    return math.exp(scipy.optimize.brentq(miss, math.log(hz[i]), math.log(hz[i + 1]), **CLOSE))


def analysis(inputs):
    """All that the table states of one driver in one box."""
    driver, box, drive = inputs["driver"], inputs["box"], inputs["drive"]
    filter_ = HighPass(*inputs["filter"].values())
    xmax, lowest, tuning = driver["xmax_mm"], drive["lowest_hz"], box["tuning_hz"]
    volts = math.sqrt(drive["power_w"] * drive["load_ohm"])
    circuit = Circuit(driver, box, volts)
    whole = Span(circuit, filter_, lowest, TOP_HZ)
    peak_mm, peak_hz = whole.peak()
    needed = decided(peak_mm, xmax)
    three_quarters = tuning and RULES["three-quarters"] * tuning
    assert tuning is None or (lowest < tuning < TOP_HZ and RULES["octave"] * tuning >= RANGE_LOW_HZ)

    def rule(name, factor):
        corner = factor * tuning
        mm, hz = whole.peak(corner)
        return {
            "rule": name,
            "corner_hz": corner,
            "peak_mm": mm,
            "peak_hz": hz,
            "within_xmax": not decided(mm, xmax),
            "loss_at_tuning_db": -20.0 * math.log10(float(filter_.gain(tuning, corner)[0])),
            "f3_hz": f3(circuit, filter_, corner),
        }

    below = over_below(Span(circuit, filter_, lowest, tuning) if tuning else whole, xmax)
    safe = lowest_safe_corner(whole, xmax, tuning or TOP_HZ) if needed else None
    assert safe is None or safe > RANGE_LOW_HZ, "lower than any knob"
    limited = tuning is not None and decided(Span(circuit, filter_, tuning, TOP_HZ).peak(three_quarters)[0], xmax)
    return {
        "drive_v": volts,
        "needed": needed,
        "unfiltered": {
            "peak_mm": peak_mm,
            "peak_hz": peak_hz,
            "over_xmax_below_hz": below,
            "f3_hz": f3(circuit),
        },
        "rules": [rule(name, factor) for name, factor in RULES.items()] if tuning else [],
        "lowest_safe_corner_hz": safe,
        "limited_above_tuning": limited,
        "highest_drive_v": volts * xmax / whole.peak(three_quarters)[0],
        "curve": [
            {
                "hz": hz,
                "unfiltered_mm": whole.at(hz, None),
                "three_quarters_mm": tuning and whole.at(hz, three_quarters),
            }
            for hz in CURVE_HZ
        ],
    }


def driver(fs, qes, qms, vas, sd, re, le, xmax, xmech=None):
    return {
        "fs_hz": fs, "qes": qes, "qms": qms, "vas_l": vas, "sd_cm2": sd, "re_ohm": re, "le_mh": le, "xmax_mm": xmax,
        "xmech_mm": xmech,
    }


def sealed(volume, leakage=None):
    return {"kind": "sealed", "volume_l": volume, "tuning_hz": None, "leakage_q": leakage}


def vented(volume, tuning, leakage=None):
    return {"kind": "vented", "volume_l": volume, "tuning_hz": tuning, "leakage_q": leakage}


FREE_AIR = {"kind": "free-air", "volume_l": None, "tuning_hz": None, "leakage_q": None}

# A is that of the list of check values. The others are nobody's: round numbers of the usual size.
A = driver(28.0, 0.42, 6.0, 80.0, 490.0, 3.4, 0.0, 14.0)
LONG_THROW = driver(31.5, 0.55, 7.2, 42.0, 330.0, 3.2, 1.8, 16.0, 24.0)
LARGE = driver(22.4, 0.36, 4.8, 190.0, 830.0, 3.6, 2.6, 19.0)
SMALL = driver(44.0, 0.61, 3.9, 14.0, 215.0, 3.7, 0.9, 7.5, 12.0)
LOOSE = driver(26.0, 0.78, 8.5, 120.0, 500.0, 3.5, 0.0, 9.0, 15.0)


def case(driver, box, power, load, filter_, lowest=10.0, **other):
    """One row; `other` are parameters of the driver that differ."""
    family, slope, *q = filter_
    return {
        "driver": {**driver, **other},
        "box": box,
        "drive": {"power_w": power, "load_ohm": load, "lowest_hz": lowest},
        "filter": {"family": family, "slope_db_per_octave": slope, "q": q[0] if q else None},
    }


BW, LR, BE, SO = "butterworth", "linkwitz-riley", "bessel", "second-order"

CASES = [
    # Driver A as in P67 and P69: 400 W into 4 ohm are 40 V. Then its other filters and its air.
    case(A, vented(60.0, 33.0, 7.0), 400.0, 4.0, (BW, 24)),
    case(A, FREE_AIR, 400.0, 4.0, (BW, 24)),
    case(A, sealed(60.0), 400.0, 4.0, (BW, 24)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (LR, 24)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (LR, 12)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BE, 18)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BW, 6)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BW, 48)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (SO, 12, 1.2)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (SO, 12, 0.6)),
    case(A, vented(60.0, 33.0), 60.0, 4.0, (BW, 24)),
    # Another end of the programme, another leak.
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BW, 24), lowest=5.0),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BW, 24), lowest=20.0),
    case(A, vented(60.0, 33.0, 3.0), 400.0, 4.0, (BW, 24)),
    case(A, vented(60.0, 33.0, 50.0), 400.0, 4.0, (BW, 24)),
    # Inductance, and the limits of another driver.
    case(A, vented(60.0, 33.0), 400.0, 4.0, (BW, 18), le_mh=2.2, xmech_mm=20.0),
    case(LONG_THROW, vented(48.0, 36.0), 500.0, 4.0, (BW, 24)),
    case(LONG_THROW, vented(48.0, 36.0), 500.0, 4.0, (BW, 12)),
    case(LONG_THROW, vented(48.0, 27.5, 10.0), 500.0, 4.0, (LR, 36)),
    case(LONG_THROW, vented(34.0, 45.0, 5.0), 700.0, 2.0, (BW, 30)),
    case(LARGE, vented(160.0, 21.0), 900.0, 4.0, (BW, 24), lowest=5.0),
    case(LARGE, vented(110.0, 26.0, 8.0), 1200.0, 2.0, (BE, 24)),
    case(LARGE, vented(90.0, 17.0, 15.0), 600.0, 4.0, (LR, 48)),
    case(SMALL, vented(18.0, 46.0), 120.0, 4.0, (BW, 36)),
    case(SMALL, vented(25.0, 38.0, 20.0), 90.0, 4.0, (BE, 12)),
    # The hump above the tuning passes Xmax: no corner is the cure.
    case(A, vented(60.0, 33.0), 900.0, 4.0, (BW, 24)),
    case(A, vented(60.0, 33.0), 900.0, 4.0, (BW, 42)),
    case(LOOSE, vented(100.0, 24.0), 250.0, 4.0, (BW, 24)),
    case(SMALL, vented(12.0, 60.0, 6.0), 400.0, 4.0, (LR, 24), lowest=20.0),
    case(SMALL, vented(18.0, 46.0), 60.0, 4.0, (SO, 12, 2.0), lowest=20.0),
    # Over Xmax above the tuning only: nothing below it is passed, yet the cone is.
    case(LOOSE, vented(60.0, 26.0, 9.0), 200.0, 4.0, (BW, 24), lowest=24.0),
    # Over Xmax at the tuning itself.
    case(A, vented(60.0, 33.0), 900.0, 4.0, (BW, 24), xmax_mm=6.0),
    # Filters with a hump of their own: the corners that hold the cone are no longer all above a limit. Safe, then not;
    # safe just below the tuning; safe for a fifth of a hertz; safe, not, and safe again.
    case(LOOSE, vented(100.0, 25.0), 225.0, 4.0, (SO, 12, 0.9), lowest=20.0, xmax_mm=16.05, xmech_mm=20.0),
    case(LOOSE, vented(117.0, 37.0), 225.0, 4.0, (SO, 12, 1.2), xmax_mm=15.2, xmech_mm=20.0),
    case(LONG_THROW, vented(17.0, 47.0), 225.0, 4.0, (SO, 12, 1.5), xmax_mm=9.84),
    case(LOOSE, vented(139.0, 24.0), 225.0, 4.0, (SO, 12, 0.8), lowest=20.0, xmax_mm=16.79, xmech_mm=20.0),
    case(A, vented(38.0, 31.0), 225.0, 4.0, (SO, 12, 0.8), lowest=25.0, xmax_mm=8.18),
    # No corner does it with the hump, one does without.
    case(LONG_THROW, vented(48.0, 36.0), 450.0, 4.0, (SO, 12, 1.2)),
    case(A, vented(60.0, 33.0), 400.0, 4.0, (SO, 12, 0.6), lowest=20.0),
    # Never over Xmax.
    case(A, vented(60.0, 33.0), 32.0, 4.0, (BW, 24)),
    case(LARGE, sealed(70.0), 300.0, 4.0, (BW, 24)),
    case(LONG_THROW, sealed(22.0, 8.0), 130.0, 4.0, (LR, 24), lowest=5.0),
    # Sealed: displacement rises to a plateau, or to a maximum above it where Qtc is high.
    case(LONG_THROW, sealed(22.0), 700.0, 4.0, (BW, 12)),
    case(LOOSE, sealed(40.0), 150.0, 4.0, (BW, 18), lowest=20.0),
    case(LOOSE, sealed(25.0, 10.0), 150.0, 4.0, (LR, 24), xmax_mm=6.0),
    case(SMALL, sealed(9.0, 5.0), 150.0, 4.0, (BW, 24), lowest=5.0),
    case(SMALL, sealed(6.5), 260.0, 4.0, (SO, 12, 1.2), lowest=20.0),
    # Free air.
    case(LOOSE, FREE_AIR, 30.0, 4.0, (BW, 24), lowest=5.0),
    case(LARGE, FREE_AIR, 150.0, 4.0, (BE, 18), lowest=20.0),
    case(SMALL, FREE_AIR, 3.0, 4.0, (BW, 12)),
]


def printed(value, text):
    """Whether a value agrees with a printed one to half a unit of its last digit."""
    mantissa, _, exponent = text.partition("e")
    digits = len(mantissa.partition(".")[2]) - int(exponent or 0)
    assert abs(value - float(text)) <= 0.5000001 * 10.0**-digits, f"{value!r} is not {text}"


def root_between(function, low, high):
    return math.exp(
        scipy.optimize.brentq(lambda z: function(math.exp(z)), math.log(low), math.log(high), **CLOSE)
    )


def hold_to_printed_figures():
    """P46, P66 to P69: Small, Closed-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 20 (Dec 1972), and Vented-Box
    Loudspeaker Systems Part I, J. Audio Eng. Soc. 21 (Jun 1973), for the circuit; the figures are computed ones."""
    printed(RHO * C**2, "140449.5")
    compliance, mass, resistance, force_factor = mechanical(A)
    printed(1.0 / (1.0 / A["qes"] + 1.0 / A["qms"]), "0.392523")
    printed(compliance, "2.372344e-04")
    printed(mass, "0.136190")
    printed(resistance, "3.993312")
    printed(force_factor, "13.926983")
    six = [10.0, 20.0, 26.25, 33.0, 47.0, 80.0]
    box = Circuit(A, vented(60.0, 33.0, 7.0), 40.0)
    for mm, text in zip(box.displacement(six), ["46.7245", "28.2979", "15.1726", "4.4539", "11.3812", "5.9410"]):
        printed(mm, text)
    air = Circuit(A, FREE_AIR, 40.0)
    for mm, text in zip(air.displacement(six), ["43.6080", "29.1700", "22.9862", "18.1562", "11.8303", "5.3827"]):
        printed(mm, text)
    filter_ = HighPass("butterworth", 24)
    span = Span(box, filter_, 10.0, 200.0)
    for value, text in zip(span.peak() + span.peak(0.75 * 33.0), ["46.725", "10.0", "13.2502", "23.56"]):
        printed(value, text)
    corner = lowest_safe_corner(span, 14.0, 33.0)
    printed(corner, "24.1748")
    printed(-20.0 * math.log10(filter_.gain(33.0, corner)[0]), "0.3461")
    printed(f3(box), "31.5950")
    printed(f3(box, filter_, corner), "32.1925")


def hold_to_impedance_peaks():
    """P60: Small 1973, fb = sqrt(fl^2 + fh^2 - fsb^2); exact without losses in the box, 0.33 Hz off at QL 7."""
    blocked = root_between(Circuit(A, sealed(60.0), 1.0).impedance_slope, 30.0, 60.0)
    printed(blocked, "42.771")
    for ql, figures in ((math.inf, ["18.161", "50.877", "33.0000"]), (7.0, ["18.105", "51.115", "33.3341"])):
        circuit = Circuit(A, vented(60.0, 33.0, ql), 1.0)
        low = root_between(circuit.impedance_slope, 14.0, 22.0)
        high = root_between(circuit.impedance_slope, 45.0, 60.0)
        for value, text in zip([low, high, math.sqrt(low**2 + high**2 - blocked**2)], figures):
            printed(value, text)
    printed(root_between(circuit.impedance_slope, 26.0, 40.0), "32.4923")


def closed_box(qtc, volume=30.0):
    """A sealed system of a given Qtc: fs 25 Hz, a = 3, so fc 50 Hz."""
    qes = 1.0 / (2.0 / qtc - 0.1)
    return Circuit(driver(25.0, qes, 10.0, 3.0 * volume, 400.0, 4.0, 0.0, 10.0), sealed(volume), 12.0)


def hold_to_closed_box():
    """P49, P50, P53, P54: Small 1972."""
    # P53: fc = fs sqrt(1 + a), Qtc = Qts sqrt(1 + a). At fc the phase of x is a right angle and |x| is Qtc of what it is
    # at DC; a = 3, fs 30, Qts 0.35 give 60 Hz and 0.70.
    circuit = Circuit(driver(30.0, 0.4, 2.8, 90.0, 400.0, 4.0, 0.0, 10.0), sealed(30.0), 12.0)

    def right_angle(hz):
        return float(circuit.of("cone", hz)[0].imag)

    assert abs(root_between(right_angle, 40.0, 90.0) - 60.0) < 1e-9
    assert abs(circuit.displacement(60.0) / circuit.displacement(DC_HZ) - 0.70) < 1e-8
    # P54: the maximum at fc sqrt(1 - 1 / (2 Qtc^2)), Qtc^2 / sqrt(Qtc^2 - 1/4) of DC.
    for qtc in (0.8, 1.1, 1.6):
        high = closed_box(qtc)
        hz = root_between(high.slope, 5.0, 80.0)
        assert abs(hz / (50.0 * math.sqrt(1.0 - 0.5 / qtc**2)) - 1.0) < 1e-9
        height = high.displacement(hz) / high.displacement(DC_HZ)
        assert abs(height / (qtc**2 / math.sqrt(qtc**2 - 0.25)) - 1.0) < 1e-8

    def power_constant(qtc):
        """P_AR / (f3^4 V_D^2): 4 pi^3 rho / c (fc / f3)^4 / (largest displacement over that at DC)^2."""
        box = closed_box(qtc)
        at_dc = float(box.displacement(DC_HZ))
        largest = max(at_dc, Span(box, None, 1.0, 200.0).peak(alone=False)[0])
        return 4.0 * math.pi**3 * RHO / C * (50.0 / f3(box)) ** 4 / (largest / at_dc) ** 2

    # P50.
    printed(power_constant(0.5**0.5), "0.4242")
    # P49; printed by Small as 0.85.
    best = scipy.optimize.minimize_scalar(lambda qtc: -power_constant(qtc), bounds=(0.6, 2.0), method="bounded")
    printed(-best.fun, "0.848")
    printed(best.x, "1.1")


def hold_to_vented_alignments():
    """P55: B4 without losses (Thiele 1961, reprinted J. Audio Eng. Soc. 19 (1971), Table I) is a Butterworth response of
    the fourth order. P56: B4 at QL = 7 (Small 1973)."""
    hz = numpy.geomspace(5.0, 400.0, 300)

    def aligned(qt, alpha, ql):
        fs, qms = 32.0, 1e3
        driver_ = driver(fs, 1.0 / (1.0 / qt - 1.0 / qms), qms, 60.0 * alpha, 400.0, 4.0, 0.0, 10.0)
        return Circuit(driver_, vented(60.0, fs, ql), 12.0)

    def fourth_order(at):
        numerator, denominator = scipy.signal.butter(4, 2.0 * math.pi * 32.0, btype="highpass", analog=True)
        return numpy.abs(scipy.signal.freqs(numerator, denominator, worN=2.0 * math.pi * at)[1])

    qt = 1.0 / math.sqrt(4.0 + 2.0 * math.sqrt(2.0))
    printed(qt, "0.382683")
    lossless = aligned(qt, math.sqrt(2.0), math.inf)
    assert numpy.abs(lossless.output(hz) / fourth_order(hz) - 1.0).max() < 1e-8
    assert abs(f3(lossless) / 32.0 - 1.0) < 1e-8
    qt = 1.0 / (math.sqrt(4.0 + 2.0 * math.sqrt(2.0)) - 1.0 / 7.0)
    alpha = math.sqrt(2.0) - 1.0 / (7.0 * qt)
    printed(qt, "0.4048")
    printed(alpha, "1.0613")
    lossy = aligned(qt, alpha, 7.0)
    printed(f3(lossy) / 32.0, "1.0000")
    printed(root_between(lambda at: float(lossy.output(at)) - 10.0**-0.5, 10.0, 40.0) / 32.0, "0.7598")


def equations_of_motion(inputs):
    """The same driver and box as a state space: volts in; x, v, then pressure, port flow and coil current where there are
    any."""
    driver_, box = inputs["driver"], inputs["box"]
    compliance, mass, resistance, force_factor = mechanical(driver_)
    area, re, le = driver_["sd_cm2"] * 1e-4, driver_["re_ohm"], driver_["le_mh"] * 1e-3
    states = ["x", "v"] + ([] if box["kind"] == "free-air" else ["p"])
    states += (["port"] if box["kind"] == "vented" else []) + (["i"] if le else [])
    at = {name: i for i, name in enumerate(states)}
    a, b = numpy.zeros((len(states), len(states))), numpy.zeros((len(states), 1))
    a[at["x"], at["v"]] = 1.0
    # m dv/dt = BL i - Rms v - x / Cms - Sd p
    a[at["v"], at["x"]] = -1.0 / (compliance * mass)
    a[at["v"], at["v"]] = -resistance / mass
    if le:
        # Le di/dt = e - Re i - BL v
        a[at["v"], at["i"]] = force_factor / mass
        a[at["i"], at["i"]], a[at["i"], at["v"]], b[at["i"], 0] = -re / le, -force_factor / le, 1.0 / le
    else:
        a[at["v"], at["v"]] -= force_factor**2 / (re * mass)
        b[at["v"], 0] = force_factor / (re * mass)
    if "p" in at:
        # Cab dp/dt = Sd v - p / Ral - port;  Map dport/dt = p
        box_compliance, port_mass, leakage = acoustical(driver_, box)
        a[at["v"], at["p"]] = -area / mass
        a[at["p"], at["v"]] = area / box_compliance
        a[at["p"], at["p"]] = -1.0 / (leakage * box_compliance)
        if port_mass is not None:
            a[at["p"], at["port"]] = -1.0 / box_compliance
            a[at["port"], at["p"]] = 1.0 / port_mass
    c = numpy.zeros((1, len(states)))
    c[0, at["x"]] = 1.0
    return scipy.signal.StateSpace(a, b, c, numpy.zeros((1, 1)))


def hold_to_time_domain(inputs, frequencies):
    """A sine switched on at rest, run until what was there at first is gone: the largest |x| of the last period."""
    system = equations_of_motion(inputs)
    volts = math.sqrt(inputs["drive"]["power_w"] * inputs["drive"]["load_ohm"])
    circuit = Circuit(inputs["driver"], inputs["box"], volts)
    # A closed box without a leak has x and p in step: one eigenvalue is zero, and from rest nothing moves it.
    rates = -numpy.linalg.eigvals(system.A).real
    settled = 18.0 / rates[rates > 1e-6 * rates.max()].min()
    steps = 1000
    for hz in frequencies:
        time = numpy.arange((math.ceil(settled * hz) + 1) * steps + 1) / (steps * hz)
        # lsim draws straight lines between samples; at a thousand a period that costs 3e-6.
        _, x, _ = scipy.signal.lsim(system, math.sqrt(2.0) * volts * numpy.sin(2.0 * math.pi * hz * time), time)
        peak = 1e3 * numpy.abs(x[-steps:]).max()
        assert abs(peak / circuit.displacement(hz) - 1.0) < 2e-5, (inputs, hz, peak)


def hold_to_all():
    hold_to_printed_figures()
    hold_to_impedance_peaks()
    hold_to_closed_box()
    hold_to_vented_alignments()
    # Vented, free air, sealed, vented with inductance, sealed with a leak and inductance.
    for row in (0, 1, 2, 15, 41):
        hold_to_time_domain(CASES[row], [12.0, 24.0, 33.0, 61.0])


def holds_at_tuning(inputs):
    """Whether a corner at the tuning, the highest that is looked at, keeps the cone within Xmax."""
    driver_, box, drive, filter_ = (inputs[key] for key in ("driver", "box", "drive", "filter"))
    circuit = Circuit(driver_, box, math.sqrt(drive["power_w"] * drive["load_ohm"]))
    span = Span(circuit, HighPass(*filter_.values()), drive["lowest_hz"], TOP_HZ)
    return span.peak(box["tuning_hz"])[0] <= driver_["xmax_mm"]


def hold_to_what_is_covered(answers):
    """The table has a row of each kind."""
    rows = list(zip(CASES, answers))
    for kind in ("sealed", "vented", "free-air"):
        assert {answer["needed"] for inputs, answer in rows if inputs["box"]["kind"] == kind} == {True, False}
    vented_rows = [(inputs, answer) for inputs, answer in rows if answer["rules"]]
    covered = {
        "limited": [answer["limited_above_tuning"] for _, answer in vented_rows],
        "no safe corner": [answer["needed"] and answer["lowest_safe_corner_hz"] is None for _, answer in vented_rows],
        "peak at the low end": [
            answer["unfiltered"]["peak_hz"] == inputs["drive"]["lowest_hz"] for inputs, answer in vented_rows
        ],
        "nothing below the tuning": [
            answer["needed"] and answer["unfiltered"]["over_xmax_below_hz"] is None for _, answer in vented_rows
        ],
        "over at the tuning": [
            answer["unfiltered"]["over_xmax_below_hz"] == inputs["box"]["tuning_hz"] for inputs, answer in vented_rows
        ],
        "safe, then not": [
            answer["lowest_safe_corner_hz"] is not None and not holds_at_tuning(inputs) for inputs, answer in vented_rows
        ],
        "three-quarters is enough": [answer["rules"][0]["within_xmax"] for _, answer in vented_rows],
        "half an octave is not": [
            answer["rules"][0]["within_xmax"] and not answer["rules"][1]["within_xmax"] for _, answer in vented_rows
        ],
        "an octave is": [answer["needed"] and answer["rules"][2]["within_xmax"] for _, answer in vented_rows],
    }
    for what, has in covered.items():
        assert True in has and False in has, f"no row, or no other: {what}"
    assert any(
        inputs["drive"]["lowest_hz"] < answer["unfiltered"]["peak_hz"] < TOP_HZ
        for inputs, answer in rows
        if inputs["box"]["kind"] == "sealed"
    )


if __name__ == "__main__":
    hold_to_all()
    ANSWERS = [analysis(inputs) for inputs in CASES]
    hold_to_what_is_covered(ANSWERS)
    tables.main(
        __file__,
        "displacement.ndjson",
        "Displacement of drivers in boxes, one a line: driver, box, drive and filter, and what follows.",
        [
            "source: the circuit of Small, Closed-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 20 (Dec 1972) and",
            "Vented-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 21 (Jun 1973), by modified nodal analysis with",
            "numpy.linalg.solve; filters by scipy.signal (butter, bessel norm='mag', freqs_zpk); peaks, crossings and",
            "corners by scipy.optimize.brentq; drivers and boxes are nobody's; see displacement.py",
        ],
        [json.dumps({"inputs": inputs, "expected": answer}) for inputs, answer in zip(CASES, ANSWERS)],
        json.loads,
    )
