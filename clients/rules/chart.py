"""Where the points, lines and words of a chart over time stand in its box. Pure.

The template only prints what is here: the box is 520 wide and 210 high, the scale starts at a
round number, and the days keep their true distances.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, floor

WIDTH, HEIGHT = 520, 210
_LEFT, _RIGHT, _TOP, _BOTTOM = 60, 380, 24, 174
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200)
_LEAST_APART = 46  # units between two words on one line, so that neither covers the other
_LINE = 18  # from one line of words to the next
_CLASSES = ("first", "second", "third")


@dataclass(frozen=True, slots=True)
class Series:
    """One line of a chart: its name, and the values that were measured on some of the days."""

    name: str
    points: tuple[tuple[date, float], ...]


@dataclass(frozen=True, slots=True)
class Text:
    """Words at a place; `look` is a class of the stylesheet or nothing."""

    x: int
    y: int
    words: str
    look: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line as an SVG path with the dots upon it, as another path."""

    look: str
    path: str
    dots: str


@dataclass(frozen=True, slots=True)
class Chart:
    """Everything drawn, and the same in a sentence for who cannot see it."""

    said: str
    scale: str
    lines: tuple[Line, ...]
    texts: tuple[Text, ...]
    width: int = WIDTH
    height: int = HEIGHT


def draw(series: Sequence[Series], under: Sequence[tuple[date, str]], unit: str) -> Chart | None:
    """A chart of up to three series; None when nothing was measured.

    `under` holds what stands beneath each day; where two days are too close the later is printed.
    """
    measured = [one for one in series if one.points][: len(_CLASSES)]
    if not measured:
        return None
    days = sorted({day for one in measured for day, _ in one.points})
    across = _Across(days[0], days[-1])
    up = _Up.around([value for one in measured for _, value in one.points])
    return Chart(
        said="; ".join(_said(one, unit) for one in measured),
        scale="".join(f"M{_LEFT - 20} {up.y(n)}H{_RIGHT + 20}" for n in up.marks),
        lines=tuple(
            _line(one, look, across, up) for one, look in zip(measured, _CLASSES, strict=False)
        ),
        texts=(
            *(Text(10, up.y(n) + 4, str(n)) for n in up.marks),
            *_beneath([(across.x(day), words) for day, words in under if day in days]),
            *_beside(measured, up),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Across:
    first: date
    last: date

    def x(self, day: date) -> int:
        span = (self.last - self.first).days
        return _RIGHT if not span else _LEFT + (_RIGHT - _LEFT) * (day - self.first).days // span


@dataclass(frozen=True, slots=True)
class _Up:
    low: int
    high: int
    step: int

    @classmethod
    def around(cls, values: Sequence[float]) -> _Up:
        """The smallest round scale of at most five marks that holds every value."""
        low, high = min(values), max(values)
        for step in _STEPS:
            bottom, top = floor(low / step) * step, ceil(high / step) * step
            top = max(top, bottom + step)
            if (top - bottom) // step <= 4:
                break
        return cls(bottom, top, step)

    @property
    def marks(self) -> range:
        return range(self.low, self.high + 1, self.step)

    def y(self, value: float) -> int:
        return round(_BOTTOM - (_BOTTOM - _TOP) * (value - self.low) / (self.high - self.low))


def _line(one: Series, look: str, across: _Across, up: _Up) -> Line:
    places = [(across.x(day), up.y(value)) for day, value in one.points]
    path = "M" + " ".join(f"{x} {y}" for x, y in places)
    return Line(look, path, "".join(f"M{x - 4} {y}a4 4 0 1 1 8 0a4 4 0 1 1-8 0z"
                                    for x, y in places))  # fmt: skip


def _beneath(places: Iterable[tuple[int, str]]) -> list[Text]:
    kept: list[Text] = []
    for x, words in sorted(places, reverse=True):
        if not kept or kept[-1].x - x >= _LEAST_APART:
            kept.append(Text(x, HEIGHT - 6, words, "mid"))
    return kept[::-1]


def _beside(series: Sequence[Series], up: _Up) -> list[Text]:
    """Each line's name and last value at its end, moved apart where they would overlap."""
    ends = sorted((up.y(one.points[-1][1]) + 4, n) for n, one in enumerate(series))
    return [
        Text(_RIGHT + 12, y, f"{series[n].name} {series[n].points[-1][1]:g}", _CLASSES[n])
        for y, (_, n) in zip(_apart([y for y, _ in ends]), ends, strict=True)
    ]


def _apart(heights: Sequence[int]) -> list[int]:
    """Heights from the top down, a line's height apart at least, none under the lowest value."""
    down: list[int] = []
    for y in heights:
        down.append(max(y, down[-1] + _LINE) if down else y)
    room = _BOTTOM + 4
    for n in reversed(range(len(down))):
        down[n] = min(down[n], room)
        room = down[n] - _LINE
    return down


def _said(one: Series, unit: str) -> str:
    return f"{one.name} {', '.join(f'{value:g}' for _, value in one.points)} {unit}"
