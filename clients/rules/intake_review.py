"""What a form says beside what is on record: what is new, what differs, which is safer. Pure.

A point is one thing to take or to leave. Points that say what is on record already are not made.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from clients.rules.dating import METHODS
from clients.rules.intake import Step
from clients.rules.intake_told import ENDINGS, Told, told_day, told_endings, told_running
from clients.rules.pregnancies import MODES, SURGICAL, TEARS, PregnancyFacts
from clients.rules.redating import Redating, days_words, redating
from clients.rules.words import short_day_words, words_for
from coach.scheduling.dates import Ending

TAKE, KEEP = "take", "keep"
# The same ending may be told some weeks off: common practice, no source.
SAME_ENDING_DAYS = 45
CONTACT = {
    "name": (Step.YOU, "Name"),
    "email": (Step.YOU, "E-mail"),
    "phone": (Step.YOU, "Phone"),
    "time_zone": (Step.YOU, "Time zone"),
    "trains_at": (Step.PLACE, "Where she trains"),
    "emergency_number": (Step.PLACE, "Emergency number there"),
    "emergency_contact": (Step.PLACE, "Emergency contact"),
    "emergency_phone": (Step.PLACE, "Their telephone"),
}


@dataclass(frozen=True, slots=True)
class Point:
    """One thing told. `stored` is what is on record in words; empty: nothing is.

    `value`: what taking it sets. `asks`: the coach chooses; otherwise it is taken. `take`: what is
    offered beforehand. `warning`: what speaks against it.
    """

    key: str
    label: str
    told: str
    stored: str
    value: Any
    asks: bool
    take: bool = True
    warning: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """A pregnancy on record."""

    pk: int
    facts: PregnancyFacts


def contact_points(told: Told, stored: Mapping[str, str]) -> Iterator[Point]:
    """Contact and place: new where nothing is on record, to choose where it differs."""
    for name, (step, label) in CONTACT.items():
        value, before = told.get(step, {}).get(name, ""), stored.get(name, "")
        if value and value != before:
            yield Point(name, label, value, before, value, asks=bool(before))


def age_point(born: date | None, stored: date | None, *, quiet: bool) -> Iterator[Point]:
    """Her day of birth; what is on record stays unless the coach takes hers."""
    if born and born != stored:
        label = "Age, by her passport" if quiet else "Date of birth"
        before = short_day_words(stored) if stored else ""
        yield Point(
            "birth_date", label, short_day_words(born), before, born, bool(before), not before
        )


def pregnancy_points(told: Told, kept: Sequence[Kept], *, quiet: bool) -> Iterator[Point]:
    """Dates and endings beside those on record, each new one to be taken or left."""
    running = next((one for one in kept if not one.facts.ending), None)
    endings = told_endings(told)
    now = told_running(told)
    if running and not now and endings and _says_it_ended(told):
        yield _end_point(running, endings.pop(0), quiet)
    yield from _ending_points(endings, kept, quiet)
    if now and running:
        yield from _running_points(told, now, running, quiet)
    elif now:
        yield _added("add:now", now, quiet)


def _says_it_ended(told: Told) -> bool:
    return told.get(Step.NOW, {}).get("situation") in ENDINGS


def _end_point(running: Kept, ending: PregnancyFacts, quiet: bool) -> Point:
    """The end of the pregnancy that is on record as running. Taken unless the coach says no:
    a letter of before the end counts for nothing after it."""
    end = {name: getattr(ending, name) for name in _OF_THE_END}
    return Point(
        f"end:{running.pk}", words_for(quiet).one, _in_words(ending, quiet),
        _in_words(running.facts, quiet), end, asks=True,
    )  # fmt: skip


_OF_THE_END = ("ended", "ending", "birth_mode", "tear", "gestation", "surgical")


def _ending_points(
    endings: Iterable[PregnancyFacts], kept: Sequence[Kept], quiet: bool
) -> Iterator[Point]:
    for at, one in enumerate(endings):
        same = next((other for other in kept if _is_same(one, other.facts)), None)
        if same is None:
            yield _added(f"add:{at}", one, quiet)
        else:
            yield from _differing(one, same, quiet)


def _is_same(one: PregnancyFacts, other: PregnancyFacts) -> bool:
    if one.ending != other.ending or not one.ended or not other.ended:
        return False
    return abs((one.ended - other.ended).days) <= SAME_ENDING_DAYS


def _added(key: str, facts: PregnancyFacts, quiet: bool) -> Point:
    words = words_for(quiet)
    return Point(key, words.one, _in_words(facts, quiet), "", facts, asks=False)


def _differing(one: PregnancyFacts, same: Kept, quiet: bool) -> Iterator[Point]:
    """Each thing she tells otherwise of an ending on record; what is known there stays first."""
    words = words_for(quiet)
    labels = {
        "ended": words.ended, "birth_mode": words.mode, "tear": "Tear", "gestation": "Weeks",
        "surgical": "Operation",
    }  # fmt: skip
    for name, label in labels.items():
        value, before = getattr(one, name), getattr(same.facts, name)
        if value and value != before:
            yield Point(
                f"{name}:{same.pk}", label, _value(value), _value(before), {name: value},
                asks=bool(before), take=not before,
            )  # fmt: skip


def _running_points(told: Told, now: PregnancyFacts, running: Kept, quiet: bool) -> Iterator[Point]:
    words, facts = words_for(quiet), running.facts
    if now.due and now.due != facts.due:
        scan_day = told_day(told.get(Step.DATES, {}).get("scan_day"))
        found = told_otherwise(facts, now, scan_day) if facts.due else None
        said = "her clinician has set this date: " if found and found.clinicians else ""
        yield Point(
            f"day:{running.pk}",
            words.due,
            f"{said}{_dated(now)}",
            _dated(facts) if facts.due else "",
            {"due": now.due, "dated_by": now.dated_by},
            asks=bool(facts.due),
            take=not facts.due,
            warning=found.sentence if found else "",
        )
    if told.get(Step.DATES, {}).get("how_many") and now.expected != facts.expected:
        # More than one asks for more care: more is taken, fewer is to choose.
        more = now.expected > facts.expected
        yield Point(
            f"count:{running.pk}", words.expected, str(now.expected), str(facts.expected),
            {"expected": now.expected}, asks=not more, take=more,
        )  # fmt: skip


def told_otherwise(stored: PregnancyFacts, told: PregnancyFacts, scan_day: date | None) -> Redating:
    """What to say before a date on record becomes the one she tells; `stored.due` is known.

    Beside what the shared rule compares there is nothing to compare with: her clinician decides.
    """
    assert stored.due
    assert told.due
    found = redating(stored, told.due, told.dated_by, scan_day)
    if found:
        return found
    apart = days_words(abs((told.due - stored.due).days))
    return Redating(f"{apart} apart. Ask her clinician which one holds.", clinicians=True)


def _dated(facts: PregnancyFacts) -> str:
    if not facts.due:
        return "not known"
    method = METHODS.get(facts.dated_by)
    return f"{short_day_words(facts.due)}{f', {method.short}' if method else ''}"


def _in_words(facts: PregnancyFacts, quiet: bool) -> str:
    """A pregnancy in a line: "Birth, 3 May 2026, caesarean"."""
    words = words_for(quiet)
    if not facts.ending:
        found = [f"{words.due} {_dated(facts)}"]
        found += [f"{words.expected}: {facts.expected}"] if facts.expected > 1 else []
        return "; ".join(found)
    kind = words.birth if facts.ending == Ending.BIRTH else words.loss
    parts = (_value(getattr(facts, name)) for name in _OF_THE_END if name != "ending")
    return ", ".join((kind, *(part for part in parts if part)))


def _value(value: Any) -> str:
    if isinstance(value, date):
        return short_day_words(value)
    return MODES.get(value) or TEARS.get(value) or SURGICAL.get(value) or str(value or "")


def consent_points(
    ticked: Mapping[str, Any], given: Mapping[str, date], titles: Mapping[str, str]
) -> Iterator[Point]:
    """A consent on record that she does not give again: offered as taken back."""
    for code, on in given.items():
        if code not in ticked:
            stored = f"given on {short_day_words(on)}"
            yield Point(f"consent:{code}", titles[code], "not ticked", stored, None, asks=True)


def missing_choices(points: Iterable[Point], choices: Mapping[str, str]) -> list[Point]:
    """The points that ask and have no choice."""
    return [one for one in points if one.asks and choices.get(one.key) not in {TAKE, KEEP}]


def taken(points: Iterable[Point], choices: Mapping[str, str]) -> list[Point]:
    """What goes on record: what is new, unless it was left, and what was chosen."""
    return [one for one in points if choices.get(one.key, KEEP if one.asks else TAKE) == TAKE]


def changed_facts(facts: PregnancyFacts, points: Iterable[Point]) -> PregnancyFacts:
    """A pregnancy on record with what was taken for it."""
    for one in points:
        facts = replace(facts, **one.value)
    return facts
