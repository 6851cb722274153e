"""Every question of the lessons worked out again from what it gives, and every table read back.

One JSON object a line on standard input: lesson, step, again (whether it is the question that is asked again), given, answer,
mistakes, shown (the screen as text). Filters come
from scipy.signal (butter, bessel), the rest is plain arithmetic written here anew. Says what differs, and then ends with 1.
"""

import functools
import json
import math
import re
import sys

import numpy as np
from scipy import signal

CLOSE = 1e-9
WRONG = []


def high_pass(b, a, tone):
    """|H| of an analogue filter at a tone, or at many."""
    _, response = signal.freqs(b, a, 2 * np.pi * np.atleast_1d(tone))
    return abs(response) if np.ndim(tone) else abs(response[0])


def butterworth(slope, tone, corner):
    return high_pass(*signal.butter(round(slope) // 6, 2 * np.pi * corner, "highpass", analog=True), tone)


def linkwitz_riley(slope, tone, corner):
    """Two equal Butterworths in a row: Linkwitz, J. Audio Eng. Soc. 24 (1976)."""
    return butterworth(slope // 2, tone, corner) ** 2


def bessel(slope, tone, corner):
    """Scaled to half power at the corner."""
    return high_pass(*signal.bessel(round(slope) // 6, 2 * np.pi * corner, "highpass", analog=True, norm="mag"), tone)


FAMILIES = {"Butterworth": butterworth, "Linkwitz-Riley": linkwitz_riley, "Bessel": bessel}


def down(share):
    return -20 * math.log10(share)


def share(db):
    return 10 ** (-db / 20)


def corner_of(family, slope, tone, ratio):
    """The corner that leaves this share of a tone, by halving an interval."""
    low, high = 0.1, 200.0
    for _ in range(200):
        middle = math.sqrt(low * high)
        if FAMILIES[family](slope, tone, middle) > ratio:
            low = middle
        else:
            high = middle
    return low


# The driver of the lessons, typed in here once more: Small, J. Audio Eng. Soc. 20 (1972) and 21 (1973), air as there.
RHO, C = 1.18, 345.0
FS, QES, QMS, VAS, SD, RE, LE = 27.5, 0.44, 5.2, 0.066, 0.0485, 3.4, 0.0016
VB, FB, QL, XMAX, VOLTS = 0.055, 36.0, 7.0, 14.0, math.sqrt(280.0 * 4.0)


def travel(hz):
    """Peak travel of the cone one way in mm, from the circuit of driver and box."""
    s, ws, wb = 2j * np.pi * hz, 2 * math.pi * FS, 2 * math.pi * FB
    cms = VAS / (RHO * C**2 * SD**2)
    mms = 1 / (ws**2 * cms)
    rms = ws * mms / QMS
    bl2 = ws * mms * RE / QES
    cab = VB / (RHO * C**2)
    zab = 1 / (s * cab + wb * cab / QL + wb**2 * cab / s)
    zm = rms + s * mms + 1 / (s * cms) + SD**2 * zab
    speed = VOLTS * math.sqrt(bl2) / ((RE + s * LE) * zm + bl2)
    return abs(speed / s) * math.sqrt(2) * 1000


@functools.cache
def farthest(corner=None):
    """The farthest that the cone travels from 10 to 200 Hz, and where."""
    tones = np.geomspace(10, 200, 4001)
    left = travel(tones) * (butterworth(24, tones, corner) if corner else 1)
    return left.max(), tones[left.argmax()]


# What each question asks: from what it gives, the answer and then the mistakes, in their order.
HALF = math.sqrt(0.5)


def limits(g):
    of_it = g["reading_v"] * g["accuracy_percent"] / 100
    return of_it, g["digits"] * g["resolution_v"], g["reading_v"], g["digits"], g["accuracy_percent"]


def limit_answers(g, coarse):
    of_it, digits, reading, count, percent = limits(g)
    as_percent = reading * (percent + count) / 100
    if coarse:
        return [of_it + digits, of_it + count * 0.01, of_it, digits, as_percent]
    return [of_it + digits, of_it, digits, as_percent, of_it + count]


def verdict(g):
    """By counting hundredths: JCGM 106, the window less the guard band at either end."""
    low, high, guard, reading = (round(100 * g[name]) for name in ("low_v", "high_v", "guard_v", "reading_v"))
    if reading < low:
        return "below"
    if reading > high:
        return "above"
    return "inside" if low + guard <= reading <= high - guard else "borderline"


def guard_band():
    """JCGM 100: digits and step as rectangles, at the target and at the reference, twice the standard uncertainty."""
    target = 8 * HALF
    u = math.hypot(5 * 0.01 / math.sqrt(3), 0.01 / math.sqrt(12))
    return 2 * target * math.hypot(u / target, u / 8)


def window_ends(g):
    low, high = (
        g["reference_v"] * butterworth(24, g["corner_hz"], g["corner_hz"] * (1 + sign * g["tolerance_percent"] / 100))
        for sign in (1, -1)
    )
    return (high, low) if g["upper"] else (low, high)


def families_at(g, family, slope):
    return g["reference_v"] * FAMILIES[family](slope, g["tone_hz"], g["corner_hz"])


def at_mark_of(g):
    name = "Linkwitz-Riley" if "linkwitz_riley" in g else "Butterworth"
    return FAMILIES[name](g["slope_db_per_octave"], g["tone_hz"], g["mark_hz"])


ANSWERS = {
    ("ratio", 1): lambda g: [
        share(g["first_db"] + g["second_db"]),
        share(g["first_db"]),
        10 ** (-(g["first_db"] + g["second_db"]) / 10),
        share(g["first_db"]) + share(g["second_db"]),
        (share(g["first_db"]) + share(g["second_db"])) / 2,
    ],
    ("ratio", 2): lambda g: [
        100 * (v := g["reading_v"] / g["reference_v"]) * v,
        100 * v,
        50 * v,
        100 * math.sqrt(v),
        100 - 100 * v * v,
    ],
    ("ratio", 3): lambda g: [
        g["reference_v"] * share(g["down_db"]),
        g["reference_v"] * 10 ** (-g["down_db"] / 10),
        g["reference_v"] * 10 ** (g["down_db"] / 20),
        g["reference_v"] * (1 - g["down_db"] / 1000),
        g["reference_v"] * (1 - g["down_db"] / 100),
        g["reference_v"] - g["down_db"],
    ],
    ("ratio", 4): lambda g: [
        20 * math.log10(g["reference_v"] / g["reading_v"]),
        10 * math.log10(g["reference_v"] / g["reading_v"]),
        g["reference_v"] - g["reading_v"],
        g["reference_v"] / g["reading_v"],
        20 * math.log(g["reference_v"] / g["reading_v"]),
    ],
    ("octave", 1): lambda g: [g["tuning_hz"] * 2.0**n for n in (-1, 1, -2, -0.5)] + [g["tuning_hz"] * 3 / 4],
    ("octave", 2): lambda g: [g["tuning_hz"] * 2**-0.5, g["tuning_hz"] * 3 / 4, g["tuning_hz"] / 2, g["tuning_hz"] * 2**0.5],
    ("octave", 3): lambda g: [g["tuning_hz"] * f for f in (3 / 4, 1, HALF, 1 / 2, 4 / 3)],
    ("slope", 1): lambda g: [
        down(butterworth(24, g["tone_hz"], g["corner_hz"])),
        down(HALF),
        down(HALF) + 24 * math.log2(g["corner_hz"] / g["tone_hz"]),
        down(butterworth(24, g["tone_hz"] / 2, g["corner_hz"])),
        down(butterworth(12, g["tone_hz"], g["corner_hz"])),
    ],
    ("slope", 2): lambda g: [
        families_at(g, "Butterworth", 12),
        families_at(g, "Butterworth", 24),
        g["reference_v"] * share(12),
        g["reference_v"] * butterworth(12, g["corner_hz"], g["tone_hz"]),
        g["reference_v"] * HALF,
        g["reference_v"] * butterworth(12, g["tone_hz"], g["corner_hz"]) ** 2,
    ],
    ("slope", 3): lambda g: [
        families_at(g, "Linkwitz-Riley", 24),
        families_at(g, "Butterworth", 24),
        g["reference_v"] / 4,
        g["reference_v"] * 2,
        g["reference_v"] * linkwitz_riley(24, g["tone_hz"] / 2, g["corner_hz"]),
    ],
    ("cone", 1): lambda g: "lower" if travel(g["low_hz"]) > travel(g["high_hz"]) else "higher",
    # The lowest corner that holds the cone does so, a tenth below it does not; at the knob's it does or does not.
    ("cone", 2): lambda g: "none"
    if not farthest(g["safe_corner_hz"])[0] <= XMAX < farthest(g["safe_corner_hz"] - 0.1)[0]
    else ("up" if farthest(g["corner_hz"])[0] > XMAX else "down"),
    ("cone", 3): lambda g: [
        g["travel_mm"] * share(g["down_db"]),
        g["travel_mm"] * 10 ** (-g["down_db"] / 10),
        g["travel_mm"] / share(g["down_db"]),
        abs(g["travel_mm"] - g["down_db"]),
    ],
    ("meter", 1): lambda g: limit_answers(g, coarse=False),
    ("meter", 2): lambda g: limit_answers(g, coarse=True),
    ("meter", 3): lambda g: [
        (d := 20 * math.log10(g["reference_v"] / g["reading_v"])),
        d - 20 * math.log10(1 - g["droop_percent"] / 100),
        d + 20 * math.log10(1 - g["droop_percent"] / 100),
        d / 2,
        g["reference_v"] - g["reading_v"],
    ],
    ("meter", 4): lambda g: [(g["low_v"] + g["high_v"]) / 2, g["low_v"], g["high_v"], g["high_v"] - g["low_v"]],
    ("tolerance", 1): lambda g: [
        (end := window_ends(g)[0]),
        window_ends(g)[1],
        g["reference_v"] * HALF * (1 + (1 if g["upper"] else -1) * g["tolerance_percent"] / 100),
        g["reference_v"] * HALF,
        g["reference_v"] ** 2 / end,
    ],
    ("tolerance", 2): verdict,
    # The corner that the reading says, against the one that the target says.
    ("tolerance", 3): lambda g: "down"
    if corner_of("Butterworth", 24, 27.0, g["reading_v"] / 8) > corner_of("Butterworth", 24, 27.0, g["target_v"] / 8)
    else "up",
    ("traps", 1): lambda g: [
        families_at(g, "Linkwitz-Riley", g["slope_db_per_octave"]),
        families_at(g, "Butterworth", g["slope_db_per_octave"]),
        g["reference_v"] / 4,
        g["reference_v"] * 2,
    ],
    ("traps", 2): lambda g: [g["reading_v"] / (left := at_mark_of(g))]
    + [g["reading_v"], g["reading_v"] * left, g["reading_v"] / left**2, g["reading_v"] / HALF],
    ("traps", 3): lambda g: [
        families_at(g, "Butterworth", 24),
        g["reference_v"] * HALF,
        g["reference_v"] * butterworth(24, g["corner_hz"], g["tone_hz"]),
        g["reference_v"] * butterworth(24, g["tone_hz"], g["corner_hz"]) ** 2,
        g["reference_v"] * butterworth(24, g["tone_hz"], g["corner_hz"] / 0.75),
    ],
    # What the page of cautions says is no arithmetic.
    ("safety", 1): lambda g: {10: "speakers", 1: "every"}[g["case"]],
    ("safety", 2): lambda g: [math.sqrt(g["power_w"] * g["load_ohm"])]
    + [g["power_w"] * g["load_ohm"], g["power_w"] / g["load_ohm"], math.sqrt(g["power_w"] / g["load_ohm"])],
    ("safety", 3): lambda g: {11: "level", 12: "music"}[g["case"]],
}


def filter_row(cells):
    family, slope = cells[0].split()
    return family, int(slope)


def at_mark(row):
    family, slope = filter_row(row)
    left = FAMILIES[family](slope, 27.0, 18.0)
    return [f"{left:.3f}", f"{8 * left:.2f} V", f"{corner_of(family, slope, 27.0, left * HALF):.1f} Hz"]


def family_at_corner(row):
    family, slope = filter_row(row)
    left = FAMILIES[family](slope, 27.0, 27.0)
    return [f"{down(left):.2f} dB", f"{8 * left:.2f} V", f"{down(FAMILIES[family](slope, 13.5, 27.0)):.2f} dB"]


def set_by_thumb(row):
    family, slope = filter_row(row)
    left = FAMILIES[family](slope, 27.0, 27.0)
    return [f"{corner_of(family, slope, 27.0, HALF):.1f} Hz", f"{left:.3f}", f"{8 * left:.2f} V"]


def off_corner(row):
    tone = float(row[0].split()[0])
    left = butterworth(24, tone, 27.0)
    return [f"{corner_of('Butterworth', 24, tone, HALF):.1f} Hz", f"{left:.3f}", f"{8 * left:.2f} V"]


def rule(row):
    factor = {"three-quarters": 0.75, "half-octave": HALF, "octave": 0.5}[row[0]]
    loss = down(butterworth(24, 36.0, 36.0 * factor))
    return [f"{factor:.4f}", f"{36 * factor:.1f} Hz", f"{-math.log2(factor):.3f}", f"{loss:.2f} dB"]


def ladder(row):
    volts = share(float(row[0].split()[0]))
    return [f"{volts:.3f}", f"{volts * volts:.3f}"]


def cone_row(row):
    tone = float(row[0].split()[0])
    left = butterworth(24, tone, 27.0)
    return [f"{travel(tone):.1f} mm", f"{down(left):.2f} dB", f"{left:.3f}", f"{travel(tone) * left:.1f} mm"]


def taken_as(row):
    value = {"10^(-3 / 20), right for volts": share(3), "10^(-3 / 10), right for power": 10**-0.3, "3 % less": 0.97,
             "3 thousandths less": 0.997, "10^(3 / 20), upside down": 10**0.15}[row[0]]
    return [f"{value:.3f}", f"{abs(down(value)):.2f} dB {'down' if value < 1 else 'up'}"]


def range_row(row):
    step = float(row[0].split()[0])
    decimals = len(row[0].split()[0].split(".")[1])
    off = 0.0566 + 5 * step
    return [f"{5.66:.{decimals}f} V", f"{5 * step:.3f} V", f"{off:.3f} V", f"{off / 5.66 * 100:.1f} %"]


# Tables: a row's name, how many rows there are, and what stands in its other cells, cells being two blanks or more apart.
TABLES = {
    ("ratio", 1): (r"\d+ dB$", 6, lambda row: [f"{share(float(row[0][:-3])):.3f}", f"{8 * share(float(row[0][:-3])):.2f} V"]),
    ("ratio", 2): (r"\d+ dB$", 9, ladder),
    ("ratio", 3): (r"10\^|3 ", 5, taken_as),
    ("ratio", 4): (r"[\d.]+ V$", 5, lambda row: [f"{8 / float(row[0][:-2]):.3f}", f"{20 * math.log10(8 / float(row[0][:-2])):.2f} dB"]),
    ("octave", 3): (r"[a-z-]*(quarters|octave)$", 3, rule),
    ("slope", 1): (r"[\d.]+ Hz$", 5, lambda row: [f"{down(butterworth(slope, float(row[0][:-3]), 27.0)):.2f} dB" for slope in (12, 24)]),
    ("slope", 2): (
        r"[\d.]+ Hz$",
        5,
        lambda row: [f"{27 / float(row[0][:-3]):.3f}"]
        + [f"{8 * butterworth(slope, float(row[0][:-3]), 27.0):.2f} V" for slope in (12, 24)],
    ),
    ("slope", 3): (r"[A-Z][\w-]+ \d+$", 5, family_at_corner),
    ("cone", 1): (r"[\d.]+ Hz$", 7, lambda row: [f"{travel(float(row[0][:-3])):.1f} mm"]),
    ("cone", 2): (
        r"[\d.]+ Hz$",
        7,
        lambda row: [f"{travel(float(row[0][:-3])) * left:.1f} mm" for left in (1, butterworth(24, float(row[0][:-3]), 27.0))],
    ),
    ("cone", 3): (r"[\d.]+ Hz$", 4, cone_row),
    ("meter", 2): (r"0[\d.]+ V$", 3, range_row),
    ("traps", 1): (r"[A-Z][\w-]+ \d+$", 5, set_by_thumb),
    ("traps", 2): (r"[A-Z][\w-]+ \d+$", 4, at_mark),
    ("traps", 3): (r"[\d.]+ Hz$", 5, off_corner),
    ("safety", 2): (
        r"[\d.]+ k?W$",
        5,
        lambda row: [f"{(v := math.sqrt(float(row[0].split()[0]) * (1000 if 'k' in row[0] else 1) * 4)):.1f} V"]
        + (["hazardous to touch"] if v > 30 else []),
    ),
}

# Sentences with figures: what must stand on the screen, line ends apart.
SENTENCES = {
    ("ratio", 1): lambda: [f"{share(6):.3f} x {share(6):.3f} = {share(12):.3f}"],
    ("ratio", 2): lambda: [f"{share(3):.3f} x {share(3):.3f} = {10**-0.3:.3f}"],
    ("ratio", 3): lambda: [f"{HALF:.4f} of the volts and {down(HALF):.2f} dB", f"{8 * HALF:.2f} V for {HALF:.4f}", f"{8 * share(3):.2f} V for {share(3):.4f}"],
    ("octave", 2): lambda: [f"It is {math.log2(4 / 3):.3f} of one", f"stands {27 - 36 * HALF:.1f} Hz too high", "(18 + 36) / 2 = 27.0 Hz"],
    ("slope", 1): lambda: [
        f"it is {down(butterworth(24, 13.5, 27)):.2f} dB, and one octave farther {down(butterworth(24, 6.75, 27)):.2f} dB",
        f"{down(HALF):.2f} dB are gone",
    ],
    ("slope", 3): lambda: [f"Each takes {down(HALF):.2f} dB at the corner, so together they take {2 * down(HALF):.2f} dB"],
    ("cone", 1): lambda: [f"{travel(36):.2f} mm", f"{travel(18):.1f} mm at 18.0 Hz", f"driven with {VOLTS:.1f} V"],
    ("cone", 2): lambda: [
        f"{farthest()[0]:.1f} mm at most, at {farthest()[1]:.1f} Hz",
        f"with it {farthest(27.0)[0]:.2f} mm, at {farthest(27.0)[1]:.1f} Hz",
        f"{farthest(18.0)[0]:.1f} mm with the corner at 18.0 Hz and {farthest(36 * HALF)[0]:.1f} mm with the corner at 25.5 Hz",
    ],
    ("meter", 1): lambda: ["566 counts", "0.01 x 5.66 V = 0.057 V", "5 x 0.01 V = 0.050 V", "+- 0.107 V", "between 5.55 V and 5.77 V", "they are 10 %"],
    ("meter", 3): lambda: [f"reference 8.00 V {8 * 0.97:.2f} V", f"filter in {8 * HALF:.2f} V {8 * HALF * 0.97:.2f} V", f"ratio {HALF:.3f} {HALF:.3f}"],
    ("tolerance", 1): lambda: [
        f"{27 * 0.97:.2f} Hz leaves {math.floor(800 * butterworth(24, 27, 27 * 0.97)) / 100:.2f} V",
        f"{27 * 1.03:.2f} Hz leaves {math.ceil(800 * butterworth(24, 27, 27 * 1.03)) / 100:.2f} V",
        f"about {(1 - butterworth(24, 27, 27 * 1.03) / HALF) * 100:.0f} % of the volts",
    ],
    ("tolerance", 2): lambda: [f"by {guard_band():.2f} V, in 19 cases of 20"],
    ("tolerance", 3): lambda: [f"It stands at {corner_of('Butterworth', 24, 27.0, 6.21 / 8):.1f} Hz"],
    ("traps", 1): lambda: [
        f"at {corner_of('Linkwitz-Riley', 24, 1.0, HALF):.2f} (24 dB/octave) and {corner_of('Linkwitz-Riley', 12, 1.0, HALF):.2f} (12 dB"
    ],
    ("traps", 3): lambda: ["at 54.0 Hz an error of 1 % in the volts is 64 % of the corner, at 27.0 Hz it is 0.5 %"],
    ("safety", 2): lambda: ["8.00 V is 16 W"],
}


def same(one, other):
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return abs(one - other) <= CLOSE * abs(other)


def check(step):
    place = (step["lesson"], step["step"])
    given = step["given"]
    worked_out = ANSWERS[place](given)
    if step["again"]:
        place += ("again",)
    said = step["answer"] if isinstance(worked_out, str) else [step["answer"], *step["mistakes"]]
    if isinstance(worked_out, str):
        worked_out, said = [worked_out], [said]
    if len(worked_out) != len(said):
        WRONG.append(f"{place}: {len(said)} values, {len(worked_out)} worked out")
    for index, (one, other) in enumerate(zip(said, worked_out)):
        if not same(one, other):
            WRONG.append(f"{place}: {'mistake ' + str(index) if index else 'answer'} {one}, worked out {other}")
    if place in TABLES:
        name, count, cells = TABLES[place]
        rows = [re.split(r" {2,}", line.strip()) for line in step["shown"].splitlines() if line.startswith("  ")]
        rows = [row for row in rows if re.match(name, row[0])]
        if len(rows) != count:
            WRONG.append(f"{place}: {len(rows)} rows, not {count}")
        for row in rows:
            if row[1:] != cells(row):
                WRONG.append(f"{place}: {row}, worked out {cells(row)}")
    flat = " ".join(step["shown"].split())
    for sentence in SENTENCES.get(place, list)():
        if sentence not in flat:
            WRONG.append(f"{place}: `{sentence}` does not stand on the screen")


seen = set()
for line in sys.stdin:
    step = json.loads(line)
    seen.add((step["lesson"], step["step"], step["again"]))
    check(step)
WRONG += [f"{place} is missing" for place in ANSWERS if any((*place, again) not in seen for again in (False, True))]
print("\n".join(WRONG))
sys.exit(1 if WRONG else 0)
