"""What a client's page says of her, for somebody who may see so much and no more. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from clients.rules.dating import METHODS
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.words import Words, day_words, short_day_words, words_for
from coach.scheduling.dates import Ending, describe, gestational_age, stage_on
from coach.scheduling.values import Stage

_ORDINALS = ("", "", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


@dataclass(frozen=True, slots=True)
class Earlier:
    """A due date before it was changed."""

    old: date
    dated_by: str
    on: date
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class Record:
    """A pregnancy as kept, with its earlier due dates, the latest first."""

    pk: int
    facts: PregnancyFacts
    earlier: tuple[Earlier, ...] = ()


@dataclass(frozen=True, slots=True)
class Told:
    """A pregnancy as the page tells it."""

    pk: int
    over: bool
    on: date | None
    title: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Profile:
    """Her stage and dates in words; for who may not see health nothing of how it ended."""

    stage: Stage
    where: str
    asks: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    told: tuple[Told, ...] = ()

    @property
    def open(self) -> Told | None:
        """The pregnancy that runs, if one does and the reader may know of it."""
        return next((one for one in self.told if not one.over), None)


def profile_of(
    records: Sequence[Record], today: date, *, quiet: bool, sees_health: bool
) -> Profile:
    """The profile for a reader who sees the stage, and health or not.

    Without health she reads weeks only after an end, whatever the end was.
    """
    dates = [record.facts.dates for record in records]
    stage = stage_on(dates, today)
    words = words_for(quiet)
    over = not stage.pregnant
    where = describe(dates, today, quiet=quiet or (over and not sees_health))
    return Profile(
        stage=stage,
        where=where + (_which(records, quiet=quiet) if sees_health and stage.pregnant else ""),
        asks=words.asks if stage is Stage.PAST_DUE else "",
        facts=tuple(_facts(records, today, quiet=quiet, sees_health=sees_health)),
        told=tuple(_told(one, words) for one in _latest_first(records)) if sees_health else (),
    )


def _which(records: Sequence[Record], *, quiet: bool) -> str:
    many = len(records)
    return f", {_ORDINALS[many]} pregnancy" if not quiet and 1 < many < len(_ORDINALS) else ""


def _latest_first(records: Sequence[Record]) -> list[Record]:
    """The running one first, then by the day it ended, the unknown days last."""
    return sorted(
        records,
        key=lambda one: (not one.facts.dates.over, one.facts.ended or date.min, one.pk),
        reverse=True,
    )


def _facts(
    records: Sequence[Record], today: date, *, quiet: bool, sees_health: bool
) -> list[tuple[str, str]]:
    latest = next(iter(_latest_first(records)), None)
    if latest is None:
        return []
    facts = latest.facts
    if facts.dates.over:
        ended = facts.ended and facts.ended <= today
        return [("Weeks counted from", day_words(facts.ended))] if ended and facts.ended else []
    if quiet:
        return []
    rows = [("Due date", _due_words(facts, with_method=sees_health))]
    if sees_health and facts.expected > 1:
        rows.append(("Babies expected", str(facts.expected)))
    return rows


def _due_words(facts: PregnancyFacts, *, with_method: bool) -> str:
    if facts.due is None:
        return "not known"
    method = METHODS.get(facts.dated_by) if with_method else None
    return day_words(facts.due) + (f", {method.short}" if method else "")


def _told(record: Record, words: Words) -> Told:
    facts = record.facts
    plain = words is words_for(False)
    over = facts.dates.over
    notes = _over_notes(facts, plain) if over else []
    notes += [_earlier_words(one, plain) for one in record.earlier]
    title = _over_title(facts, words) if over else (words.one if plain else "Weeks running")
    return Told(record.pk, over, facts.ended, title, tuple(notes))


def _over_title(facts: PregnancyFacts, words: Words) -> str:
    title = {Ending.BIRTH: words.birth, Ending.LOSS: words.loss}.get(
        Ending(facts.ending) if facts.ending else Ending.BIRTH, words.birth
    )
    return f"{title}, {facts.birth_mode}" if facts.birth_mode else title


def _over_notes(facts: PregnancyFacts, plain: bool) -> list[str]:
    ended = day_words(facts.ended) if facts.ended else "day not known"
    if not plain:
        return [ended]
    age = gestational_age(facts.due, facts.ended) if facts.due and facts.ended else None
    notes = [f"{ended}, at {age}" if age else ended]
    if facts.due:
        notes.append(f"due {_due_words(facts, with_method=True)}")
    if facts.born is not None and facts.born > 1:
        notes.append(f"{facts.born} babies")
    return notes


def _earlier_words(one: Earlier, plain: bool) -> str:
    if not plain:
        return f"date changed on {short_day_words(one.on)} by {one.by}"
    method = METHODS.get(one.dated_by)
    was = short_day_words(one.old) + (f" {method.short}" if method else "")
    return f"due date was {was} until {short_day_words(one.on)} ({one.by}): {one.reason}"


def local_time(now: datetime, zone: str, here: str) -> str:
    """ "it is 18:04 where she is", with the weekday where that differs; empty in one's own zone."""
    there, mine = now.astimezone(ZoneInfo(zone)), now.astimezone(ZoneInfo(here))
    if there.utcoffset() == mine.utcoffset():
        return ""
    weekday = "" if there.date() == mine.date() else f" on {there:%A}"
    return f"it is {there:%H:%M}{weekday} where she is"
