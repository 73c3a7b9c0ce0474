"""A track of beeps to lie under a film: one at every change, a countdown before work. Pure.

Sample-exact to the time line: every beep begins on the sample of its second. Mono, 16 bit.
"""

from __future__ import annotations

import struct
import sys
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import cos, pi

from content.rules.timeline import WORK, TimeLine

# A third of the 48 kHz of a film's sound, so that every sample falls on one of the film's.
RATE = 16_000
COUNTDOWN = 3
SHORT_S, LONG_S = 0.12, 0.45
WORK_HZ, COUNT_HZ, PAUSE_HZ = 990.0, 660.0, 495.0
_LOUD = 0.5
_FADE = int(RATE * 0.008)  # no click at either end of a beep
_HEADER = "<4sI4s4sIHHIIHH4sI"
_SAMPLE = 2  # bytes
LONGEST_S = 6 * 3600


@dataclass(frozen=True, slots=True)
class Beep:
    """A tone that begins on a second of the class: pitch in Hz, length in seconds."""

    at: int
    hz: float
    seconds: float


def beeps(line: TimeLine) -> tuple[Beep, ...]:
    """Every beep in order, never two in one second.

    A long high one where work begins, a long low one where anything else begins and at the end;
    short ones in the three seconds before work, as far as what came before is long enough.
    """
    found: dict[int, Beep] = {}
    for one in line.intervals:
        hz = WORK_HZ if one.kind == WORK else PAUSE_HZ
        found[one.start] = Beep(one.start, hz, LONG_S)
    for one in line.work:
        for second in _countdown(one.start, found):
            found[second] = Beep(second, COUNT_HZ, SHORT_S)
    if line.intervals:
        found[line.seconds] = Beep(line.seconds, PAUSE_HZ, LONG_S)
    return tuple(found[second] for second in sorted(found))


def _countdown(start: int, taken: dict[int, Beep]) -> Iterator[int]:
    """The seconds before work, back to the last thing that began: that one keeps its beep."""
    for second in range(start - 1, start - 1 - COUNTDOWN, -1):
        if second < 0 or second in taken:
            return
        yield second


def size(line: TimeLine) -> int:
    """How many bytes the file has."""
    return struct.calcsize(_HEADER) + _data(line)


def chunks(line: TimeLine) -> Iterator[bytes]:
    """The WAV file, a second at a time; it ends a second after the class, with the last beep."""
    tones = {one.at: _tone(one.hz, one.seconds) for one in beeps(line)}
    silence = bytes(RATE * _SAMPLE)
    yield _header(_data(line))
    for second in range(_seconds(line)):
        tone = tones.get(second, b"")
        yield tone + silence[len(tone) :]


def _seconds(line: TimeLine) -> int:
    return line.seconds + 1


def _data(line: TimeLine) -> int:
    return _seconds(line) * RATE * _SAMPLE


def _header(data: int) -> bytes:
    """RIFF, WAVE, PCM (Microsoft and IBM, Multimedia Programming Interface 1.0, 1991)."""
    rest = struct.calcsize(_HEADER) - 8 + data
    return struct.pack(
        _HEADER, b"RIFF", rest, b"WAVE", b"fmt ", 16, 1, 1, RATE, RATE * _SAMPLE, _SAMPLE,
        8 * _SAMPLE, b"data", data,
    )  # fmt: skip


@cache
def _tone(hz: float, seconds: float) -> bytes:
    count = int(RATE * seconds)
    samples = array(
        "h",
        (
            round(32767 * _LOUD * _envelope(n, count) * cos(2 * pi * hz * n / RATE))
            for n in range(count)
        ),
    )
    if sys.byteorder == "big":
        samples.byteswap()
    return samples.tobytes()


def _envelope(n: int, count: int) -> float:
    """From silence to full and back; the very first sample is heard already."""
    return min(1.0, (n + 1) / _FADE, (count - n) / _FADE)
