"""Values that may be right and are asked about once before they are kept. Pure.

All limits here are common practice, no source: they catch a slip of the thumb and refuse nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from clients.rules.assessment import EFFORT, PULSE, Measured, widths_of
from clients.rules.measuring import FINGERS

WIDE_MM, WIDE_FINGERS = 80, 5
JUMP_MM, JUMP_FINGERS = 20, 2
SLOW_PULSE, FAST_PULSE = 45, 110
EFFORT_JUMP = 5


@dataclass(frozen=True, slots=True)
class Question:
    """A value to look at once more. `token` says that it was, for this value and no other."""

    field: str
    token: str
    words: str


def questions(one: Measured, last: Measured | None, sure: Collection[str] = ()) -> list[Question]:
    """What is unlikely in an assessment beside the one before it, and has not been confirmed.

    Widths are compared only where unit, method and position are the same.
    """
    found = [*_widths(one, last), *_numbers(one, last)]
    return [each for each in found if each.token not in sure]


def _widths(one: Measured, last: Measured | None) -> Iterator[Question]:
    fingers = one.unit == FINGERS
    wide, jump = (WIDE_FINGERS, JUMP_FINGERS) if fingers else (WIDE_MM, JUMP_MM)
    unit = "fingers" if fingers else "mm"
    for code, value in widths_of(one).items():
        before = last.values.get(code) if last and _same_way(one, last) else None
        if value > wide:
            yield _question(code, value, f"{value:g} {unit} is very wide: is it right?")
        elif before is not None and abs(value - before) > jump:
            yield _question(code, value, f"{value:g} {unit}, and {before:g} last time: right?")


def _same_way(one: Measured, last: Measured) -> bool:
    return (one.unit, one.method, one.position) == (last.unit, last.method, last.position)


def _numbers(one: Measured, last: Measured | None) -> Iterator[Question]:
    pulse, effort = one.values.get(PULSE), one.values.get(EFFORT)
    if pulse is not None and not SLOW_PULSE <= pulse <= FAST_PULSE:
        yield _question(PULSE, pulse, f"{pulse} beats a minute at rest: is it right?")
    before = last.values.get(EFFORT) if last else None
    if effort is not None and before is not None and abs(effort - before) > EFFORT_JUMP:
        yield _question(EFFORT, effort, f"{effort}, and {before} last time: is it right?")


def _question(code: str, value: float, words: str) -> Question:
    return Question(code, f"{code}={value:g}", words)
