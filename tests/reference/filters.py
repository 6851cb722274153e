"""The loss of every filter at tones from a tenth of its corner to five times it, by scipy.signal.

Nothing here follows the project's own formulas: poles and zeros come from scipy's filter design, the response is
evaluated from them, and a second-order section is its transfer function written out.
"""

import sys

import numpy
import scipy.signal

sys.dont_write_bytecode = True
import tables  # noqa: E402

# Tone over corner. Twenty-four of them, closest about 1, where a knob is set.
TONES = [
    0.1, 0.12, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8,
    0.9, 1.0, 1.1, 1.2, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0,
]

# Both ends of what a knob may be marked, and the Q of the named families of second order.
QS = [0.3, 0.5, 3**-0.5, 0.7, 2**-0.5, 0.72, 0.9, 1.0, 1.2, 2.0, 5.0]


def loss(zeros, poles, gain):
    """Loss in dB at every tone, from zeros, poles and gain."""
    _, response = scipy.signal.freqs_zpk(zeros, poles, gain, worN=TONES)
    return -20.0 * numpy.log10(numpy.abs(response))


def butterworth(order):
    return loss(*scipy.signal.butter(order, 1.0, btype="highpass", analog=True, output="zpk"))


def linkwitz_riley(order):
    """Two equal Butterworths of half the order in a row."""
    return 2.0 * butterworth(order // 2)


def bessel(order):
    """norm='mag': half power at the corner. The default, norm='phase', is another filter at the same mark."""
    return loss(*scipy.signal.bessel(order, 1.0, btype="highpass", analog=True, output="zpk", norm="mag"))


def second_order(q):
    """s^2 / (s^2 + s/Q + 1)."""
    _, response = scipy.signal.freqs([1.0, 0.0, 0.0], [1.0, 1.0 / q, 1.0], worN=TONES)
    return -20.0 * numpy.log10(numpy.abs(response))


def lines():
    filters = [("butterworth", order, None, butterworth(order)) for order in range(1, 9)]
    filters += [("linkwitz-riley", order, None, linkwitz_riley(order)) for order in (2, 4, 6, 8)]
    filters += [("bessel", order, None, bessel(order)) for order in (2, 3, 4)]
    filters += [("second-order", 2, q, second_order(q)) for q in QS]
    for family, order, q, losses in filters:
        for tone, db in zip(TONES, losses):
            yield f"{family},{6 * order},{'' if q is None else repr(q)},{tone!r},{float(db)!r}"


def read(row):
    family, slope, q, tone, db = row.split(",")
    return [family, int(slope), q and float(q), float(tone), float(db)]


if __name__ == "__main__":
    tables.main(
        __file__,
        "filters.csv",
        "Loss of high-pass filters: family, slope in dB/octave, Q, tone over corner, loss in dB.",
        [
            "source: scipy.signal butter, bessel(norm='mag') and freqs_zpk, all analog; Linkwitz-Riley as two",
            "butter of half the order; second order as s^2 / (s^2 + s/Q + 1) with freqs; see filters.py",
        ],
        list(lines()),
        read,
    )
