"""What a chart over time shows, as values; coach.practice.print.charts draws them. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from math import ceil, floor, log10

MOST_LINES = 4  # so many dashes and shapes are told apart without colour
MOST_MARKS = 5


@dataclass(frozen=True, slots=True)
class Line:
    """What was measured in one way, by day. ValueError for a line without a point."""

    name: str
    points: tuple[tuple[date, float], ...]

    def __post_init__(self) -> None:
        if not self.points or list(self.points) != sorted(self.points, key=lambda one: one[0]):
            raise ValueError("a line has points, the earliest first")

    @property
    def last(self) -> tuple[date, float]:
        """Its latest point."""
        return self.points[-1]


@dataclass(frozen=True, slots=True)
class Band:
    """A published range with its name. `low` None: it has no lower end that could be drawn.

    Drawn from `since` to `until` alone, where it says so: outside those days it does not fit.
    """

    low: float | None
    high: float
    name: str
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """Up to four lines over time. `under`: what stands beneath a day; `said`: all of it in words.

    ValueError for none or for more lines.
    """

    title: str
    unit: str
    lines: tuple[Line, ...]
    under: tuple[tuple[date, str], ...] = ()
    bands: tuple[Band, ...] = field(default=())
    said: str = ""

    def __post_init__(self) -> None:
        if not 1 <= len(self.lines) <= MOST_LINES:
            raise ValueError(f"a chart has 1 to {MOST_LINES} lines")

    @property
    def days(self) -> tuple[date, ...]:
        """Every day on which something was measured, each once, the earliest first."""
        return tuple(sorted({day for line in self.lines for day, _ in line.points}))

    @property
    def values(self) -> tuple[float, ...]:
        """Every value that has to find room: measured, and the ends of the ranges."""
        ends = [end for one in self.bands for end in (one.low, one.high) if end is not None]
        return (*(value for line in self.lines for _, value in line.points), *ends)


def number_words(value: float) -> str:
    """ "28", "2.5", "−3", "1234.5": at most two decimals, a true minus sign."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text.replace("-", "−")


def marks(values: Iterable[float], most: int = MOST_MARKS) -> tuple[float, ...]:
    """The fewest round marks (1, 2 or 5 times a power of ten apart) that hold every value.

    Equal values get room above and below; nothing below 0 is marked where nothing is below 0.
    """
    every = list(values)
    low, high = min(every), max(every)
    if low == high:
        room = max(abs(low) / 5, 1)
        low, high = (max(low - room, 0) if low >= 0 else low - room), high + room
    for step in _steps(high - low):
        first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
        if last - first < most:
            return tuple(round(n * step, 6) for n in range(first, last + 1))
    raise ValueError("values are too far apart to be drawn")


def _steps(span: float) -> Iterable[float]:
    begin = floor(log10(span)) - 1
    return (n * 10.0**power for power in range(begin, begin + 4) for n in (1, 2, 5))


def apart(places: Iterable[tuple[float, float]], low: float, high: float) -> list[float]:
    """Middles of things of a given height, moved so that none covers another.

    `places`: (middle, height), the lowest first; all stay between `low` and `high` where that is
    possible, and keep their order.
    """
    every = list(places)
    found: list[float] = []
    edge = low
    for middle, tall in every:
        found.append(max(middle, edge + tall / 2))
        edge = found[-1] + tall / 2
    edge = high
    for n in reversed(range(len(found))):
        tall = every[n][1]
        found[n] = min(found[n], edge - tall / 2)
        edge = found[n] - tall / 2
    return found


def thinned(places: Iterable[tuple[float, float]]) -> list[int]:
    """Which words on one line are printed so that none covers another: the last always.

    `places`: (middle, width), the leftmost first.
    """
    every = list(places)
    kept: list[int] = []
    edge = float("inf")
    for n in reversed(range(len(every))):
        middle, wide = every[n]
        if middle + wide / 2 <= edge:
            kept.append(n)
            edge = middle - wide / 2
    return kept[::-1]
