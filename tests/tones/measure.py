"""Measures a WAV file of test tones with numpy and prints what it finds as one JSON document.

The samples are read from the bytes themselves (the chunks of RIFF, from memory), so that neither the program nor a library
decides what is in the file. For each tone named on the command line as HZ@BEGINS+SECONDS: the sine that fits its steady part
best (least squares over sine, cosine and a constant, at the named frequency), how far its phase is off at its start and at its
end against a sine that starts at phase 0 where the tone begins, its level in dBFS, and what is left besides it.
"""

import json
import sys

import numpy

FADE = 0.05


def chunks(data):
    assert data[:4] == b"RIFF" and data[8:12] == b"WAVE"
    assert int.from_bytes(data[4:8], "little") == len(data) - 8, "the size in the head is that of the file"
    at = 12
    while at < len(data):
        size = int.from_bytes(data[at + 4 : at + 8], "little")
        yield data[at : at + 4], data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def samples(data, bits):
    if bits == 16:
        return numpy.frombuffer(data, "<i2").astype(float)
    three = numpy.frombuffer(data, numpy.uint8).reshape(-1, 3).astype(numpy.int64)
    value = three[:, 0] | three[:, 1] << 8 | three[:, 2] << 16
    return (value - ((value & 0x800000) << 1)).astype(float)


def fit(signal, first, hz, rate):
    """Amplitude, phase in cycles against sin(0) at sample 0, constant, residual; `first` is the number of signal[0]."""
    cycles = (hz * (first + numpy.arange(len(signal)))) / rate
    angle = 2 * numpy.pi * (cycles - numpy.floor(cycles))
    basis = numpy.stack([numpy.sin(angle), numpy.cos(angle), numpy.ones(len(signal))], axis=1)
    (sine, cosine, constant), *_ = numpy.linalg.lstsq(basis, signal, rcond=None)
    residual = signal - basis @ [sine, cosine, constant]
    return numpy.hypot(sine, cosine), numpy.arctan2(cosine, sine) / (2 * numpy.pi), constant, residual


def faded(count, first, hz, rate):
    """A sine of peak 1 with raised-cosine fades of FADE seconds, 0 at its first and last sample (a Hann window's flanks)."""
    number = numpy.arange(count)
    edge = numpy.minimum(number, count - 1 - number) / round(FADE * rate)
    gain = numpy.where(edge < 1, (1 - numpy.cos(numpy.pi * numpy.minimum(edge, 1))) / 2, 1)
    cycles = hz * (first + number) / rate
    return gain * numpy.sin(2 * numpy.pi * (cycles - numpy.floor(cycles)))


def decibels(ratio):
    return float(20 * numpy.log10(ratio))


data = open(sys.argv[1], "rb").read()
parts = dict(chunks(data))
head = parts[b"fmt "]
field = lambda at, size: int.from_bytes(head[at : at + size], "little")
kind, channels, rate, bits = field(0, 2), field(2, 2), field(4, 4), field(14, 2)
assert field(8, 4) == rate * channels * bits // 8 and field(12, 2) == channels * bits // 8
full = 2.0 ** (bits - 1) - 1
every = samples(parts[b"data"], bits).reshape(-1, channels)
same = bool((every == every[:, :1]).all())
signal = every[:, 0]

tones = []
for tone in sys.argv[2:]:
    hz, rest = tone.split("@")
    begins, lasts = map(float, rest.split("+"))
    hz, begin, count = float(hz), round(begins * rate), round(lasts * rate)
    part = signal[begin : begin + count]
    before = signal[begin - rate // 2 : begin] if begin else numpy.zeros(1)
    edge = round(1.2 * FADE * rate)
    steady = part[edge : count - edge]
    amplitude, _, constant, residual = fit(steady, edge, hz, rate)
    piece = min(len(steady), max(round(4 * rate / hz), rate))
    ends = [fit(steady[:piece], edge, hz, rate)[1], fit(steady[-piece:], edge + len(steady) - piece, hz, rate)[1]]
    tones.append(
        {
            "level_dbfs": decibels(amplitude / full),
            "phase_start_cycles": float(ends[0]),
            "phase_end_cycles": float(ends[1]),
            "phase_whole_cycles": float(fit(steady, edge, hz, rate)[1]),
            "constant_lsb": float(constant),
            "residual_variance_lsb2": float(residual.var()),
            "thd_n_db": decibels(residual.std() / (amplitude / numpy.sqrt(2))),
            "noise_dbfs": decibels(residual.std() / (full / numpy.sqrt(2))),
            "first": float(part[0]),
            "last": float(part[-1]),
            "silence_most": float(abs(before).max()),
            # Fades and all: how far the whole passage is from what it should be, in steps of the last bit.
            "most_off_lsb": float(abs(part - amplitude * faded(count, 0, hz, rate)).max()),
            # A fade that is too steep, or begins or ends with a step, would show as a larger step than the tone itself has.
            "edges_step": float(max(abs(numpy.diff(side)).max() for side in (part[:edge], part[-edge:])) / amplitude),
            "steady_step": float(abs(numpy.diff(steady)).max() / amplitude),
        }
    )

print(
    json.dumps(
        {
            "kind": kind,
            "channels": channels,
            "rate": rate,
            "bits": bits,
            "frames": len(signal),
            "channels_same": same,
            "most": float(abs(signal).max()),
            "full": full,
            "tones": tones,
        }
    )
)
