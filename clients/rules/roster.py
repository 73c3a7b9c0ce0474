"""The roster: one line a client, searched, filtered and put in order. Pure.

Lines hold contact and stage only, no health fact: how a pregnancy ended is not told here, and
what a quiet client's line says, any line may say.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum

from clients.rules.contact import dialled
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.words import AT_FORTY_WEEKS, short_day_words, stage_words, words_for
from coach.scheduling.dates import PregnancyDates, gestational_age, stage_on, weeks_since
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import GoAheadWord, Stage

CURRENT, EVERYBODY = "current", "everybody"
STANDINGS: dict[str, tuple[str, ...]] = {
    CURRENT: ("active", "paused"),
    "active": ("active",),
    "paused": ("paused",),
    "former": ("former",),
    EVERYBODY: ("active", "paused", "former"),
}


class Sort(StrEnum):
    """The orders of the roster; those by stage or by word need somebody who may see it."""

    NAME = "name"
    STAGE = "stage"
    WEEKS = "weeks"
    CHANGED = "changed"
    WORD = "go-ahead"

    @property
    def by_stage(self) -> bool:
        """True for an order that would tell the stage."""
        return self in {Sort.STAGE, Sort.WEEKS}


def allowed(sort: Sort, *, with_stage: bool, with_word: bool) -> Sort:
    """The order asked for, or by name where it would tell what the reader may not see."""
    tells = (sort.by_stage and not with_stage) or (sort is Sort.WORD and not with_word)
    return Sort.NAME if tells else sort


@dataclass(frozen=True, slots=True)
class Person:
    """What everybody who may see the roster knows of a client."""

    pk: int
    name: str
    email: str
    phone: str
    standing: str
    changed_at: datetime

    @property
    def call(self) -> str:
        """Her number as a telephone takes it; empty when it is not known."""
        return dialled(self.phone)


@dataclass(frozen=True, slots=True)
class Line:
    """One client on the roster; without a stage or a word where the reader may not see it."""

    person: Person
    stage: Stage | None = None
    short: str = ""
    note: str = ""
    days: int | None = None  # to the due date, below zero once past, or since the end
    word: GoAheadWord | None = None

    @property
    def asks(self) -> bool:
        """True when somebody should ask how she is: from 40w0d on with no end recorded."""
        if self.stage is None or not self.stage.pregnant:
            return False
        return self.stage is Stage.PAST_DUE or self.days == 0

    def with_word(self, word: GoAheadWord) -> Line:
        """The same with the go-ahead word of the day."""
        return replace(self, word=word)


def line_of(
    person: Person,
    pregnancies: Sequence[PregnancyDates],
    today: date,
    *,
    quiet: bool,
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Line:
    """A client's line with her stage: "28w4d" or "11 w", and the stage in words beneath."""
    stage = stage_on(pregnancies, today, scheme)
    if stage is Stage.UNKNOWN:
        return Line(person, stage, "–", stage.label)
    running, ended = latest_dates(pregnancies, today)
    if stage.pregnant and running:
        label = stage_words(stage, quiet=quiet, scheme=scheme)
        if stage is Stage.PAST_DUE:
            note = words_for(quiet).asks
        else:
            note = AT_FORTY_WEEKS if running == today else _running(label, running, quiet)
        short = str(gestational_age(running, today))
        return Line(person, stage, short, note, (running - today).days)
    assert ended is not None  # a stage of weeks since has an end
    return Line(person, stage, _since(ended, today), stage.label, (today - ended).days)


def latest_dates(
    pregnancies: Sequence[PregnancyDates], on: date
) -> tuple[date | None, date | None]:
    """The due date of the pregnancy that runs on a day, and the latest end up to it."""
    running = [one.due for one in pregnancies if one.due and _runs(one, on)]
    ended = [one.ended for one in pregnancies if one.ended and one.ended <= on]
    return max(running, default=None), max(ended, default=None)


def _runs(one: PregnancyDates, on: date) -> bool:
    begun = one.due is not None and gestational_age(one.due, on) is not None
    return begun and (not one.over or (one.ended is not None and one.ended > on))


def _running(label: str, due: date, quiet: bool) -> str:
    return label if quiet else f"{label} · due {short_day_words(due)}"


def _since(ended: date, today: date) -> str:
    weeks = weeks_since(ended, today)
    return f"{weeks} w" if weeks else f"{(today - ended).days} d"


# Letters that Unicode does not take apart into a plain one and a mark.
_WHOLE = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe",
                        "ı": "i", "ħ": "h"})  # fmt: skip
_APOSTROPHES = str.maketrans(dict.fromkeys("’‘ʼʻ`´", "'"))


def fold(text: str) -> str:
    """Text for comparing: no case, no accents, one kind of apostrophe, single spaces."""
    apart = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES).casefold())
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return " ".join(plain.translate(_WHOLE).split())


def matches(person: Person, search: str) -> bool:
    """Whether every word typed is in her name, e-mail or phone number."""
    name = fold(person.name)
    digits = "".join(sign for sign in person.phone if sign.isdigit() or sign == "+")
    text = " ".join((name, name.replace("'", ""), fold(person.email), digits))
    return all(word in text for word in fold(search).split())


def in_order(lines: Iterable[Line], sort: Sort) -> list[Line]:
    """Lines by name, by stage, by what is next (due soonest, then ended last), or by change."""
    by_name = sorted(lines, key=lambda line: (fold(line.person.name), line.person.pk))
    if sort is Sort.CHANGED:
        return sorted(by_name, key=lambda line: line.person.changed_at, reverse=True)
    if sort is Sort.WORD:
        return sorted(by_name, key=_by_word)
    if sort.by_stage:
        return sorted(by_name, key=_by_stage if sort is Sort.STAGE else _by_weeks)
    return by_name


_PLACE = {stage: place for place, stage in enumerate(Stage)}


def _by_stage(line: Line) -> tuple[int, int]:
    return _PLACE[line.stage or Stage.UNKNOWN], line.days or 0


def _by_word(line: Line) -> int:
    """Those on hold first; a word that is not told counts as "waiting"."""
    return STRICTEST_FIRST.index(line.word) if line.word in STRICTEST_FIRST else 1


def _by_weeks(line: Line) -> tuple[int, int]:
    group = 0 if line.stage and line.stage.pregnant else 2 if line.days is None else 1
    return group, line.days or 0
