"""What a client's page says of her, for somebody who may see so much and no more. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from clients.rules.dating import METHODS
from clients.rules.pregnancies import SURGICAL, TEARS, PregnancyFacts
from clients.rules.words import (
    AT_FORTY_WEEKS,
    Words,
    day_words,
    short_day_words,
    unless_quiet,
    words_for,
)
from coach.scheduling.dates import Ending, describe, gestational_age, stage_on, term_band
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
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
    """Her stage and dates in words; for who may not see health nothing of how it ended.

    `asks` is not empty from 40w0d on while no end is recorded: somebody should ask how she is.
    """

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
    records: Sequence[Record],
    today: date,
    *,
    quiet: bool,
    sees_health: bool,
    conditions: Mapping[int, Sequence[str]] | None = None,
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Profile:
    """The profile for a reader who sees the stage, and health or not.

    Without health she reads weeks only after an end, whatever the end was. `conditions`: words of
    what was named in each pregnancy, by its id; `scheme` cuts the trimesters.
    """
    dates = [record.facts.dates for record in records]
    stage = stage_on(dates, today, scheme)
    words = words_for(quiet)
    over = not stage.pregnant
    where = describe(dates, today, quiet=quiet or (over and not sees_health))
    more = _more(records, stage, quiet=quiet, sees_health=sees_health)
    named = conditions or {}
    told = tuple(_told(one, words, named.get(one.pk, ())) for one in _latest_first(records))
    return Profile(
        stage=stage,
        where=", ".join((where, *more)),
        asks=_asks(records, stage, today, words),
        facts=tuple(_facts(records, today, quiet=quiet, sees_health=sees_health)),
        told=told if sees_health else (),
    )


def _asks(records: Sequence[Record], stage: Stage, today: date, words: Words) -> str:
    """What to ask from 40w0d on with no end recorded; the day it is reached is a sentence of its
    own, since nothing is past yet.
    """
    if stage is Stage.PAST_DUE:
        return words.asks
    reached = any(
        one.facts.due == today and not one.facts.dates.over for one in records if one.facts.due
    )
    return AT_FORTY_WEEKS if reached and stage.pregnant else ""


def _more(records: Sequence[Record], stage: Stage, *, quiet: bool, sees_health: bool) -> list[str]:
    """The trimester, and which pregnancy it is."""
    if quiet or not stage.pregnant:
        return []
    found = [stage.label] if stage is not Stage.PAST_DUE else []
    return [*found, *([which] if sees_health and (which := _which(records)) else [])]


def _which(records: Sequence[Record]) -> str:
    many = len(records)
    return f"{_ORDINALS[many]} pregnancy" if 1 < many < len(_ORDINALS) else ""


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


def _told(record: Record, words: Words, conditions: Sequence[str]) -> Told:
    facts = record.facts
    plain = words is words_for(False)
    over = facts.dates.over
    notes = _over_notes(facts, plain) if over else _running_notes(facts, plain)
    named = dict.fromkeys(unless_quiet(one, quiet=not plain) for one in conditions)
    notes += [f"named: {', '.join(filter(None, named))}"] if any(named) else []
    notes += [_earlier_words(one, plain) for one in record.earlier]
    title = _over_title(facts, words) if over else (words.one if plain else "Weeks running")
    return Told(record.pk, over, facts.ended, title, tuple(notes))


def _running_notes(facts: PregnancyFacts, plain: bool) -> list[str]:
    if not plain:
        return []
    return [
        f"due {_due_words(facts, with_method=True)}",
        *([f"{facts.expected} babies expected"] if facts.expected > 1 else []),
    ]


def _over_title(facts: PregnancyFacts, words: Words) -> str:
    title = {Ending.BIRTH: words.birth, Ending.LOSS: words.loss}.get(
        Ending(facts.ending) if facts.ending else Ending.BIRTH, words.birth
    )
    return f"{title}, {facts.birth_mode}" if facts.birth_mode else title


def _over_notes(facts: PregnancyFacts, plain: bool) -> list[str]:
    ended = day_words(facts.ended) if facts.ended else "day not known"
    if not plain:
        return [ended]
    notes = [", ".join((ended, *_age_at_end(facts)))]
    if facts.due:
        notes.append(f"due {_due_words(facts, with_method=True)}")
    return [*notes, *_how_it_went(facts)]


def _age_at_end(facts: PregnancyFacts) -> list[str]:
    """ "at 39w4d, full term", from its dates; else of a loss as she told it.

    The band is of a birth alone. Source: ACOG Committee Opinion 579 (2013, reaffirmed).
    """
    age = gestational_age(facts.due, facts.ended) if facts.due and facts.ended else None
    if age is None:
        return [f"at {facts.gestation} as told"] if facts.gestation else []
    told = facts.gestation and facts.gestation != str(age)
    band = [str(term_band(age))] if facts.ending == Ending.BIRTH else []
    return [f"at {age}", *band, *([f"{facts.gestation} as told"] if told else [])]


def _how_it_went(facts: PregnancyFacts) -> list[str]:
    """How many, the tear, the wound; of a loss whether there was surgery."""
    many = f"{facts.born} babies" if facts.born is not None and facts.born > 1 else ""
    if facts.expected > 1 and facts.born is not None:
        many = f"{facts.expected} babies expected, {facts.born} born"
    tear = f"tear: {TEARS[facts.tear]}" if facts.tear in TEARS and facts.tear != "none" else ""
    tear = TEARS["none"] if facts.tear == "none" else tear
    wound = f"wound: {facts.wound}" if facts.wound else ""
    surgery = SURGICAL.get(facts.surgical, "")
    return [one for one in (many, tear, wound, surgery) if one]


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
