"""What scipy makes of a bench's filter and of its meter's input, a JSON line in, a JSON line out.

In: family, order, q or null, corner and tone in hertz, droop in hertz or 0. Out: the filter's |H| and the meter's.
"""

import json
import math
import sys

import scipy.signal


def magnitude(zeros, poles, gain, tone):
    _, response = scipy.signal.freqs_zpk(zeros, poles, gain, worN=[2.0 * math.pi * tone])
    return abs(response[0])


def high_pass(family, order, q, corner, tone):
    w = 2.0 * math.pi * corner
    design = {"btype": "highpass", "analog": True, "output": "zpk"}
    if family == "butterworth":
        return magnitude(*scipy.signal.butter(order, w, **design), tone)
    if family == "linkwitz-riley":
        return magnitude(*scipy.signal.butter(order // 2, w, **design), tone) ** 2
    if family == "bessel":
        return magnitude(*scipy.signal.bessel(order, w, norm="mag", **design), tone)
    _, response = scipy.signal.freqs([1.0, 0.0, 0.0], [1.0, w / q, w * w], worN=[2.0 * math.pi * tone])
    return abs(response[0])


for line in sys.stdin:
    bench = json.loads(line)
    filtered = high_pass(bench["family"], bench["order"], bench["q"], bench["corner"], bench["tone"])
    drooped = high_pass("butterworth", 1, None, bench["droop"], bench["tone"]) if bench["droop"] else 1.0
    print(json.dumps({"filter": float(filtered), "meter": float(drooped)}))
