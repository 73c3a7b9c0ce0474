"""What changed between the first and the latest value of each measure in a report's time. Pure.

Widths are compared only where they were taken in the same way, fingers only by one person.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.assessment import EFFORT, PULSE, Catalogue, Measured
from clients.rules.grading import change_words, percent_change
from clients.rules.measured_words import in_unit, line_of, number_words
from clients.rules.measuring import FINGERS, REST, scheme
from clients.rules.totals import totals
from clients.rules.words import unless_quiet

OWN_UNNAMED = "a measure of the practice’s own"
LESS, MORE = "less", "more"
# From which change of a total on it means something to her: Stuge and others 2017 (total score).
MEANS_SOMETHING = {"pgq": (25, "Stuge and others 2017")}


@dataclass(frozen=True, slots=True)
class Reading:
    """One value on a day."""

    day: date
    value: float


@dataclass(frozen=True, slots=True)
class Change:
    """One measure: its first and latest reading, None where it was taken once, with words.

    `said` is what stands beside a value ("moderate"), by the value; `note` follows the change.
    """

    code: str
    label: str
    unit: str
    first: Reading | None
    latest: Reading
    said: tuple[tuple[float, str], ...] = ()
    note: str = ""
    is_width: bool = False

    @property
    def by(self) -> float:
        """How much more it is now; 0 where there is nothing to compare with."""
        return round(self.latest.value - self.first.value, 2) if self.first else 0

    def value_words(self, reading: Reading) -> str:
        """ "28 mm", "9, moderate"."""
        beside = dict(self.said).get(reading.value, "")
        return f"{in_unit(reading.value, self.unit)}{f', {beside}' if beside else ''}"

    @property
    def words(self) -> str:
        """ "7 mm or 25.0 % narrower", "3 less (less is better)"; that it was taken once."""
        if self.first is None:
            return "taken once"
        if not self.by:
            return "as before"
        much = in_unit(abs(self.by), self.unit)
        if not self.is_width:
            note = f" ({self.note})" if self.note else ""
            return f"{much} {LESS if self.by < 0 else MORE}{note}"
        old, new = self.first.value, self.latest.value
        share = change_words(old, new)
        if percent_change(old, new) is None:
            return f"{much} {'narrower' if self.by < 0 else 'wider'}, {share}"
        return f"{much} or {share}"


@dataclass(frozen=True, slots=True)
class Way:
    """Widths taken in one way: an assessment that was taken so, and what changed at each place."""

    one: Measured
    changes: tuple[Change, ...]

    @property
    def latest(self) -> date:
        """The last day on which one of them was taken."""
        return max(change.latest.day for change in self.changes)


def ways(inside: Sequence[Measured]) -> list[Way]:
    """The widths by the way they were taken, the one taken last first, then the most often."""
    groups: dict[tuple[str, ...], list[Measured]] = {}
    for one in inside:
        groups.setdefault(line_of(one), []).append(one)
    found = [(Way(rows[-1], tuple(_widths(rows))), len(rows)) for rows in groups.values()]
    taken = [(way, many) for way, many in found if way.changes]
    taken.sort(key=lambda pair: (pair[0].latest, pair[1]), reverse=True)
    return [way for way, _ in taken]


def _widths(rows: Sequence[Measured]) -> Iterator[Change]:
    for site in scheme().sites.values():
        for state, words in scheme().states.items():
            read = [(one.day, one.shown(site.code, state)) for one in rows]
            readings = [Reading(day, value) for day, value in read if value is not None]
            if readings:
                how = "" if state == REST else f", {words}"
                label, unit = f"{site.words}{how}", rows[0].shown_in
                yield _change(f"{site.code}-{state}", label, unit, readings, is_width=True)


def _change(
    code: str, label: str, unit: str, readings: Sequence[Reading], *,
    said: tuple[tuple[float, str], ...] = (), note: str = "", is_width: bool = False,
) -> Change:  # fmt: skip
    first = readings[0] if len(readings) > 1 else None
    return Change(code, label, unit, first, readings[-1], said, note, is_width)


def number_changes(inside: Sequence[Measured], known: Catalogue, *, quiet: bool) -> list[Change]:
    """Effort, pulse at rest and the practice's own measures."""
    found = []
    if efforts := _readings(inside, EFFORT):
        said = tuple((float(n), words) for n, words in enumerate(scheme().effort))
        found.append(_change(EFFORT, "effort, of 10", "", efforts, said=said))
    if pulses := _readings(inside, PULSE):
        found.append(_change(PULSE, "beats a minute at rest", "", pulses))
    for own in known.own.values():
        if readings := _readings(inside, own.field):
            name = unless_quiet(own.name, quiet=quiet, instead=OWN_UNNAMED)
            unit = unless_quiet(own.unit, quiet=quiet)
            note = f"{own.better} is better" if own.better else ""
            found.append(_change(own.field, name, unit, readings, note=note))
    return found


def total_changes(inside: Sequence[Measured]) -> list[Change]:
    """Totals of questionnaires, each with the published word for it."""
    found = []
    for total in totals().values():
        if readings := _readings(inside, total.field):
            said = tuple((one.value, total.band(one.value)) for one in readings)
            change = _change(total.field, total.name, "", readings, said=said,
                             note=f"{total.better} is better")  # fmt: skip
            found.append(_with_least(change, total.code))
    return found


def _with_least(change: Change, code: str) -> Change:
    """Says so where a change is smaller than what is published to mean something."""
    least, source = MEANS_SOMETHING.get(code, (0, ""))
    if not change.by or abs(change.by) >= least:
        return change
    note = f"under {number_words(least)}, which means little: {source}"
    return Change(change.code, change.label, change.unit, change.first, change.latest,
                  change.said, note)  # fmt: skip


def total_sources(inside: Sequence[Measured]) -> Iterator[str]:
    """Where the words beside totals come from, for the totals that there are."""
    for total in totals().values():
        if total.bands and _readings(inside, total.field):
            yield f"{total.name}: {total.source}"


def _readings(inside: Iterable[Measured], code: str) -> list[Reading]:
    return [Reading(one.day, float(one.values[code])) for one in inside if code in one.values]


def any_fingers(inside: Iterable[Measured]) -> bool:
    """Whether a width stays in fingers because that finger's own width is not known."""
    return any(one.shown_in == FINGERS for one in inside if any_width(one))


def any_width(one: Measured) -> bool:
    """Whether any width was taken."""
    return any(code.startswith("width-") for code in one.values)
