"""Widths over time: a chart for each site and state, a line for each way of measuring. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from clients.rules.assessment import Measured, width_field
from clients.rules.grading import COUNTED, change_words, grade_of
from clients.rules.measured_words import in_unit, line_of, way_words
from clients.rules.measuring import FINGERS, HERSELF, MM, REST, scheme
from clients.rules.progress_shown import (
    ChartOf,
    Row,
    beneath,
    by_day,
    said_of,
    weeks_words,
    who_words,
)
from clients.rules.reference_ranges import NO_DIAGNOSIS, Fit, fitting
from clients.rules.words import short_day_words, unless_quiet
from coach.scheduling.charted import MOST_LINES, Band, Chart, Line
from coach.scheduling.dates import PregnancyDates

ONE_PREGNANCY = "It is shown because her record holds one pregnancy."
IN_MM = "Finger-widths are shown in mm by the width of that person’s finger."
NOT_TOLD = "way not known"


@dataclass(frozen=True, slots=True)
class Place:
    """Where and how a width was taken that one chart is about, and what it is shown in."""

    site: str
    state: str
    unit: str

    @property
    def code(self) -> str:
        """Its name among all charts."""
        return f"{width_field(self.site, self.state)}-{self.unit}"

    @property
    def title(self) -> str:
        """ "At the navel, at rest"."""
        words = scheme().sites[self.site].words
        return f"{words[0].upper()}{words[1:]}, {scheme().states[self.state]}"

    def value(self, one: Measured) -> float | None:
        """The width that an assessment holds for it."""
        return one.shown(self.site, self.state) if one.shown_in == self.unit else None


@dataclass(frozen=True, slots=True)
class _Way:
    """What was measured in one way, the earliest first."""

    name: str
    taken: tuple[Measured, ...]

    def line(self, place: Place) -> Line:
        return Line(self.name, tuple((one.day, place.value(one) or 0.0) for one in self.taken))


def width_charts(
    measured: Iterable[Measured], pregnancies: Sequence[PregnancyDates], *, quiet: bool
) -> Iterator[ChartOf]:
    """The charts of all sites from above to below, at rest and on a head lift."""
    ordered = by_day(measured)
    for place in _places():
        here = [one for one in ordered if place.value(one) is not None]
        ways = _ways(here, quiet=quiet)
        for n in range(0, len(ways), MOST_LINES):
            yield _chart(place, ways[n : n + MOST_LINES], pregnancies, n // MOST_LINES, quiet)


def _places() -> Iterator[Place]:
    for state in scheme().states:
        for site in scheme().sites:
            yield from (Place(site, state, unit) for unit in (MM, FINGERS))


def _ways(here: Sequence[Measured], *, quiet: bool) -> list[_Way]:
    """What was taken in the same way together, the way used last first."""
    found: dict[tuple[str, ...], list[Measured]] = {}
    for one in here:
        found.setdefault(line_of(one), []).append(one)
    every = sorted(found.values(), key=lambda taken: (taken[-1].day, taken[-1].pk), reverse=True)
    names = _names([taken[-1] for taken in every], quiet=quiet)
    return [_Way(name, tuple(taken)) for name, taken in zip(names, every, strict=True)]


def _names(examples: Sequence[Measured], *, quiet: bool) -> list[str]:
    """The shortest names that tell ways apart: the method, then whose finger, then how she lay."""
    parts = [_parts(one, quiet=quiet) for one in examples]
    names: list[str] = []
    for wanted in ((0,), (0, 1), (0, 2), (0, 1, 2)):
        names = [", ".join(part[n] for n in wanted if part[n]) or NOT_TOLD for part in parts]
        if len(set(names)) == len(names):
            return names
    return [f"{name} ({n})" for n, name in enumerate(names, 1)]


def _parts(one: Measured, *, quiet: bool) -> tuple[str, str, str]:
    method = scheme().methods.get(one.method)
    finger = ""
    if one.unit == FINGERS:
        finger = "herself" if one.who == HERSELF else unless_quiet(one.by, quiet=quiet)
    return method.words if method else "", finger, scheme().positions.get(one.position, "")


def _chart(
    place: Place, ways: Sequence[_Way], pregnancies: Sequence[PregnancyDates], n: int, quiet: bool
) -> ChartOf:
    lines = tuple(way.line(place) for way in ways)
    taken = by_day(one for way in ways for one in way.taken)
    fits = {} if quiet else _fits(place, taken, pregnancies)
    weeks = {one.day: weeks_words(pregnancies, one.day) for one in taken}
    bands = tuple(
        Band(fit.range.firm_low, fit.range.high, fit.range.short, fit.since, fit.until)
        for fit in fits
    )
    title = f"{place.title} ({n + 1})" if n else place.title
    return ChartOf(
        code=f"{place.code}-{n}",
        kind="width",
        chart=Chart(
            title, place.unit, lines, tuple((day, beneath(w, day)) for day, w in weeks.items()),
            bands, said_of(title, place.unit, lines),
        ),
        rows=tuple(_row(place, one, weeks[one.day], quiet) for one in reversed(taken)),
        notes=(*_notes(place, lines, taken), *_range_notes(fits)),
    )  # fmt: skip


def _row(place: Place, one: Measured, weeks: str, quiet: bool) -> Row:
    value = in_unit(place.value(one) or 0.0, place.unit)
    way = unless_quiet(way_words(one), quiet=quiet) or NOT_TOLD
    return Row(one.day, weeks, value, way, who_words(one, quiet=quiet))


def _fits(
    place: Place, taken: Iterable[Measured], pregnancies: Sequence[PregnancyDates]
) -> dict[Fit, tuple[Measured, float]]:
    """The ranges that are about one of the measurements, each with the latest of those."""
    found: dict[Fit, tuple[Measured, float]] = {}
    for one in taken:
        value, fit = place.value(one), fitting(one, place.site, place.state, pregnancies)
        if fit and value is not None:
            found[fit] = (one, value)
    return found


def _range_notes(fits: dict[Fit, tuple[Measured, float]]) -> Iterator[str]:
    for fit, (one, value) in fits.items():
        beside = fit.range.beside(value)
        where = f"{in_unit(value, MM)} on {short_day_words(one.day)} is {beside} that."
        yield f"{fit.range.words} {where} {ONE_PREGNANCY} {NO_DIAGNOSIS}"


def _notes(place: Place, lines: Sequence[Line], taken: Sequence[Measured]) -> Iterator[str]:
    for line in lines:
        yield from _change(line, place)
    if place.unit == FINGERS and place.state == REST:
        yield COUNTED
        for line in lines:
            if grade := grade_of(line.last[1], FINGERS):
                last = in_unit(line.last[1], FINGERS)
                yield f"{line.name}, {last}: {grade.words}. A word for a width, no diagnosis."
    if place.unit == MM and any(one.unit == FINGERS for one in taken):
        yield IN_MM


def _change(line: Line, place: Place) -> Iterator[str]:
    """ "calliper: 21 mm, 25.0 % narrower than 28 on 3 June 2026"."""
    if len(line.points) < 2:
        return
    (day, value), before = line.last, {line.points[-2], line.points[0]}
    told = [
        f"{_than(change_words(was, value))} {in_unit(was, place.unit)} on {short_day_words(on)}"
        for on, was in sorted(before, reverse=True)
        if on != day
    ]
    if told:
        yield f"{line.name}: {in_unit(value, place.unit)}, {', '.join(told)}."


def _than(change: str) -> str:
    if change.endswith(("narrower", "wider")):
        return f"{change} than"
    return "as before:" if change == "as before" else f"{change} after"
