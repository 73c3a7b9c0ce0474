"""The beeps under a film, read back by Python's wave module and by a scan for sound."""

from __future__ import annotations

import wave
from array import array
from io import BytesIO
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from content.rules.cue_track import (
    COUNT_HZ,
    PAUSE_HZ,
    RATE,
    WORK_HZ,
    beeps,
    chunks,
    size,
)
from content.rules.design import MAIN, Block, Design, Item, Pattern
from content.rules.timeline import TimeLine, timeline
from tests.content.filming import CLASS, LIBRARY

LINE = timeline(CLASS, LIBRARY)


def of(*seconds: int, rest: int = 0) -> TimeLine:
    items = tuple(Item("", "Anything", work=one) for one in seconds)
    return timeline(Design((Block(MAIN, "", (Pattern(items, rest=rest),)),)), {})


def read(line: TimeLine) -> tuple[Any, array[int]]:
    """What the file says of itself, and its samples."""
    with wave.open(BytesIO(b"".join(chunks(line)))) as file:
        return file.getparams(), array("h", file.readframes(file.getnframes()))


def starts(samples: array[int]) -> list[int]:
    """Where sound begins after a tenth of a second of silence, found in the samples alone."""
    loud = np.flatnonzero(np.abs(np.asarray(samples, dtype=np.int32)) > 0)
    gaps = np.flatnonzero(np.diff(loud) > RATE // 10)
    return [int(loud[0]), *(int(one) for one in loud[gaps + 1])]


def pitch(samples: array[int], start: int) -> float:
    """The strongest frequency of the tenth of a second from a sample on, by Fourier transform."""
    part = np.asarray(samples[start : start + RATE // 10], dtype=float)
    strength = np.abs(np.fft.rfft(part * np.hanning(len(part)), 8 * len(part)))
    return float(np.argmax(strength)) * RATE / (8 * len(part))


def test_it_is_read_by_the_wave_module_as_it_says_it_is() -> None:
    told, samples = read(LINE)
    assert told[:4] == (1, 2, RATE, (475 + 1) * RATE)
    assert len(samples) == 476 * RATE
    assert size(LINE) == len(b"".join(chunks(LINE)))


def test_every_beep_begins_on_the_sample_of_its_second_and_silence_goes_before() -> None:
    """The seconds are those of the class worked out by hand in filming.py."""
    _, samples = read(LINE)
    changes = [0, 30, 60, 65, 105, 125, 165, 185, 225, 255, 295, 315, 355, 375, 415, 475]
    before = {s - n for s in (30, 65, 125, 185, 255, 315, 375, 415) for n in (1, 2, 3)}
    wanted = sorted({*changes, *before})
    assert starts(samples) == [second * RATE for second in wanted]
    assert {samples[second * RATE] != 0 for second in wanted} == {True}
    assert {samples[second * RATE - 1] for second in wanted if second} == {0}


def test_work_the_pause_and_the_countdown_sound_different() -> None:
    _, samples = read(LINE)
    heard = [round(pitch(samples, second * RATE)) for second in (62, 65, 105, 225, 475)]
    wanted = (COUNT_HZ, WORK_HZ, PAUSE_HZ, PAUSE_HZ, PAUSE_HZ)
    assert heard == [pytest.approx(hz, abs=5) for hz in wanted]


def test_a_countdown_never_takes_the_place_of_another_beep() -> None:
    assert [(one.at, one.hz) for one in beeps(of(1, 2, 5))] == [
        (0, WORK_HZ), (1, WORK_HZ), (2, COUNT_HZ), (3, WORK_HZ), (8, PAUSE_HZ),
    ]  # fmt: skip
    assert [one.at for one in beeps(of(5, rest=2))] == [0, 5, 7]


def test_beeps_are_in_order_and_never_run_into_one_another() -> None:
    for line in (LINE, of(*range(1, 30)), of(1, 1, 1, rest=1)):
        assert {two.at - one.at >= 1 > one.seconds for one, two in pairwise(beeps(line))} == {True}


def test_no_sample_is_clipped_and_no_beep_ends_in_a_click() -> None:
    _, samples = read(of(3))
    values = np.asarray(samples, dtype=np.int32)
    assert 10_000 < int(np.abs(values).max()) < 20_000
    # A step from one sample to the next is no larger than the tone itself makes.
    most = 2 * np.pi * WORK_HZ / RATE * int(np.abs(values).max())
    assert int(np.abs(np.diff(values)).max()) <= most + 1


def test_an_hour_comes_a_second_at_a_time() -> None:
    line = of(*[60] * 60)
    largest = max(len(one) for one in chunks(line))
    assert (largest, size(line)) == (2 * RATE, 44 + 3601 * 2 * RATE)


def test_nothing_designed_is_a_second_of_silence() -> None:
    _, samples = read(timeline(Design(), {}))
    assert (len(samples), set(samples)) == (RATE, {0})
