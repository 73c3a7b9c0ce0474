"""Where a pregnancy's age falls: trimesters by a named scheme, term bands at birth."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from enum import StrEnum

from coach.scheduling.dating import GestationalAge


@dataclass(frozen=True, slots=True)
class TrimesterScheme:
    """The two cuts between the trimesters, by name, because published sources differ.

    A second trimester that does not begin before the third is a `ValueError`.
    """

    name: str
    label: str
    second_from: GestationalAge
    third_from: GestationalAge
    source: str

    def __post_init__(self) -> None:
        if self.second_from >= self.third_from:
            raise ValueError("the second trimester begins before the third")


def _scheme(name: str, label: str, second: str, third: str, source: str) -> TrimesterScheme:
    parse = GestationalAge.parse
    return TrimesterScheme(name, label, parse(second), parse(third), source)


CODING = _scheme(
    "coding", "14 and 28 completed weeks", "14w0d", "28w0d", "ICD-10-CM, chapter 15, note"
)
_ALTERNATIVES = (
    _scheme(
        "leaflet-42-weeks",
        "13 and 28 completed weeks",
        "13w0d",
        "28w0d",
        "Hospital leaflet “Pregnancy Overview”, 42-week method: 0–12, 13–27, 28–42 weeks",
    ),
    _scheme(
        "leaflet-40-weeks",
        "13 and 29 completed weeks",
        "13w0d",
        "29w0d",
        "Hospital leaflet “Pregnancy Overview”, 40-week method: 0–12, 13–28, 29–40 weeks",
    ),
    _scheme(
        "leaflet-ordinal",
        "12 and 28 completed weeks",
        "12w0d",
        "28w0d",
        "Leaflets that count “week 1 to week 12”, “week 13 to week 28”: no single source",
    ),
    _scheme(
        "manual",
        "13 and 25 completed weeks",
        "13w0d",
        "25w0d",
        "MSD Manual, home edition: 0–12, 13–24, 25 weeks to delivery",
    ),
)
SCHEMES: dict[str, TrimesterScheme] = {one.name: one for one in (CODING, *_ALTERNATIVES)}
DEFAULT_SCHEME = CODING


def trimester(age: GestationalAge, scheme: TrimesterScheme = DEFAULT_SCHEME) -> int:
    """The trimester, 1, 2 or 3, that an age falls in; the third lasts until delivery.

    Source: the scheme's own; the default is the coding one (ICD-10-CM, chapter 15).
    """
    return bisect_right((scheme.second_from, scheme.third_from), age) + 1


class TermBand(StrEnum):
    """How early or late a birth was. Source: ACOG CO 579 (2013, reaffirmed); preterm: textbook."""

    PRETERM = "preterm"
    EARLY_TERM = "early term"
    FULL_TERM = "full term"
    LATE_TERM = "late term"
    POSTTERM = "postterm"


_TERM_BAND_STARTS = tuple(GestationalAge(weeks * 7) for weeks in (37, 39, 41, 42))


def term_band(age: GestationalAge) -> TermBand:
    """The band of a birth at this age: cuts at 37w0d, 39w0d, 41w0d and 42w0d.

    It is about births only: it does not tell a birth from a loss. Source:
    ACOG Committee Opinion 579 (2013, reaffirmed); preterm: textbook.
    """
    return tuple(TermBand)[bisect_right(_TERM_BAND_STARTS, age)]
