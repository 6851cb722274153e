"""What corner.rs works out, by scipy: what the program's own is compared with. One line of JSON: hertz, and medians in
seconds.

The fit: the best corner of the grid for each family and slope (whole arrays), then least_squares from there. The
one reading: brentq on the magnitude of scipy's own Bessel polynomial.
"""

import json
import statistics
import time

import numpy
import scipy.optimize
import scipy.signal

ROUNDS = 20
TONES = numpy.array([18.0, 22.0, 27.0, 36.0, 52.0])
LEVELS = 20.0 * numpy.log10(numpy.array([1.69, 3.45, 5.90, 7.69, 7.98]) / 8.0)
GRID = numpy.geomspace(0.01, 100_000.0, 259)
HALF = {2: 1.3616541287161305, 3: 1.7556723686812106, 4: 2.1139176749042158}


def butterworth(order):
    return lambda u: u**order


def linkwitz_riley(order):
    return lambda u: (1.0 + u ** (order // 2)) ** 2 - 1.0


def bessel(order):
    b, a = scipy.signal.bessel(order, 1.0, analog=True, norm="delay")
    squared = numpy.polymul(a, a * (-1.0) ** numpy.arange(order, -1, -1))[::2] * (-1.0) ** numpy.arange(order, -1, -1)
    squared = squared / squared[-1]
    return lambda u: numpy.polyval(squared, u * HALF[order] ** 2) - 1.0


FILTERS = (
    [butterworth(order) for order in (1, 2, 3, 4, 5, 6, 7, 8)]
    + [linkwitz_riley(order) for order in (2, 4, 6, 8)]
    + [bessel(order) for order in (2, 3, 4)]
)


def fit():
    best = None
    for excess in FILTERS:

        def residuals(z):
            return LEVELS + 10.0 * numpy.log10(1.0 + excess((numpy.exp(z) / TONES) ** 2))

        squares = (residuals(numpy.log(GRID)[:, None]) ** 2).sum(axis=1)
        found = scipy.optimize.least_squares(residuals, numpy.log(GRID[squares.argmin()]), xtol=1e-14, ftol=1e-14, gtol=1e-14)
        if best is None or found.cost < best.cost:
            best = found
    return float(numpy.exp(best.x[0]))


ONE = bessel(4)


def one():
    target = (8.0 / 5.66) ** 2 - 1.0
    return scipy.optimize.brentq(lambda corner: ONE((corner / 27.0) ** 2) - target, 0.01, 1000.0, xtol=1e-12)


def median(work):
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


print(json.dumps({"fit_hz": fit(), "fit_s": median(fit), "one_hz": one(), "one_s": median(one)}))
