"""Filters, meters and what is typed, from their definitions: what targets.py and fit.py both stand on.

Written from the design's definitions with poles and zeros, without looking at how the program does it: where the
program works with 1/|H|^2 - 1 in closed form, this works with ln|H| as a sum over poles and finds every inverse by
bracketing (scipy.optimize.brentq).
"""

import math

import numpy
import scipy.optimize

SQRT3 = math.sqrt(3.0)
# Nepers to dB.
DB = 20.0 / math.log(10.0)
# Coverage factor.
K = 2.0
# A level (ln of a ratio) that rounding alone can make.
NOTHING = 1e-13
# brentq: as close as a double can.
CLOSE = {"xtol": 1e-15, "rtol": 4 * numpy.finfo(float).eps, "maxiter": 300}


def prototype(family, slope, q):
    """The poles of the high-pass with its corner at 1 rad/s; as many zeros lie at 0."""
    order = slope // 6
    if family == "butterworth":
        return [numpy.exp(1j * math.pi * (2 * k + order - 1) / (2 * order)) for k in range(1, order + 1)]
    if family == "linkwitz-riley":
        return 2 * prototype("butterworth", slope // 2, None)
    if family == "second-order":
        root = numpy.sqrt(complex(1.0 / q**2 - 4.0))
        return [(-1.0 / q + root) / 2.0, (-1.0 / q - root) / 2.0]
    # Bessel: reverse polynomial of the low-pass, scaled to half power at 1, then s -> 1/s.
    def factorial(n):
        return math.factorial(n)

    coefficients = [
        factorial(2 * order - k) / (2 ** (order - k) * factorial(k) * factorial(order - k))
        for k in range(order, -1, -1)
    ]

    def power(w):
        return abs(coefficients[-1] / numpy.polyval(coefficients, 1j * w)) ** 2 - 0.5

    half_power = scipy.optimize.brentq(power, 0.5, 5.0, **CLOSE)
    return [half_power / pole for pole in numpy.roots(coefficients)]


class Filter:
    """A high-pass without its corner."""

    def __init__(self, family, slope, q=None):
        self.family, self.slope, self.q = family, slope, q
        self.poles = prototype(family, slope, q)

    def level(self, tone, corner):
        """ln|H|: zero where nothing is taken off.

        Every factor |jw / (jw - p)|^2 is 1 / (1 + e); summing log1p(e) keeps what is lost near 1.
        """
        ratio = corner / tone
        return -0.5 * sum(
            math.log1p(abs(pole) ** 2 * ratio**2 - 2.0 * pole.imag * ratio) for pole in self.poles
        )

    def moves(self, tone, corner):
        """d ln|H| / d ln corner."""
        return sum((pole * corner / (1j * tone - pole * corner)).real for pole in self.poles)

    def down_db(self, tone, corner):
        return -DB * self.level(tone, corner)

    def corners(self, tone, level):
        """Every corner that puts a tone at a level (ln of a ratio), lowest first.

        Corners so low that the filter takes nothing off, as far as a double can tell, are none.
        """
        grid = [
            corner
            for corner in tone * numpy.exp(numpy.linspace(math.log(1e-4), math.log(1e3), 6001))
            if abs(self.level(tone, corner)) > NOTHING
        ]

        def miss(corner):
            return self.level(tone, corner) - level

        values = [miss(corner) for corner in grid]
        return [
            scipy.optimize.brentq(miss, grid[i], grid[i + 1], **CLOSE)
            for i in range(len(grid) - 1)
            if (values[i] > 0.0) != (values[i + 1] > 0.0) and values[i] != 0.0
        ]

    def tone_at(self, corner, down_db):
        """The one tone that is this far down."""

        def miss(tone):
            return self.down_db(tone, corner) - down_db

        return scipy.optimize.brentq(miss, corner * 1e-3, corner * 1e3, **CLOSE)


class Meter:
    """+-(accuracy % of reading + digits) at a display step."""

    def __init__(self, accuracy_percent, digits, resolution_v):
        self.accuracy, self.digits, self.step = accuracy_percent / 100.0, digits, resolution_v

    def u(self, volts, full):
        limit = self.digits * self.step + (self.accuracy * volts if full else 0.0)
        return math.sqrt((limit / SQRT3) ** 2 + (self.step / math.sqrt(12.0)) ** 2)

    def relative(self, typed, full):
        volts, spread = middle_and_spread(typed)
        return math.sqrt(self.u(volts, full) ** 2 + spread**2) / volts


def middle_and_spread(typed):
    """What a person types for a voltage: one number, `LOW..HIGH`, or repeats with blanks between."""
    if ".." in typed:
        low, high = (float(end) for end in typed.split(".."))
        return (low + high) / 2.0, (high - low) / 2.0 / SQRT3
    values = [float(value) for value in typed.split()]
    if len(values) == 1:
        return values[0], 0.0
    return float(numpy.mean(values)), float(numpy.std(values, ddof=1)) / math.sqrt(len(values))
