"""The time line of a client's page: what was said, seen, measured, and what ended. Pure.

Titles and notes name no baby, birth or due date of their own for a quiet client; what the coach
wrote herself is printed as she wrote it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.assessment import SITES, WAYS, Measures
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy, SignFact
from clients.rules.go_ahead_words import limit_words, sentence, until_end_words
from clients.rules.profile import Told
from clients.rules.words import short_day_words, unless_quiet

_SAID = {
    ClearanceWord.GO_AHEAD: "go ahead",
    ClearanceWord.LIMITS: "go ahead, with limits",
    ClearanceWord.AGAINST: "advised against training",
}
_KNOWN = {
    KnownBy.LETTER: "letter seen",
    KnownBy.SPOKEN: "clinician spoken to",
    KnownBy.CLIENT: "her own word only",
}
_EXAMINED = {"yes": "examined for it", "no": "not examined for it"}
HIDDEN = "A note is kept that is not shown while quiet is on."
_SYMPTOMS = {"doming": "doming", "leaking": "leaking", "heaviness": "heaviness"}


@dataclass(frozen=True, slots=True)
class Event:
    """One line: `kind` is clearance, sign, assessment or dates; `pk` is of its row.

    `waits` marks a sign that no clinician has answered, `void` what was recorded by mistake.
    """

    kind: str
    pk: int
    on: date | None
    title: str
    detail: str = ""
    notes: tuple[str, ...] = ()
    letter: bool = False
    waits: bool = False
    void: bool = False
    now: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """A clearance with what the rules of the go-ahead do not need."""

    fact: ClearanceFact
    note: str = ""
    letter: bool = False
    withdrawn_reason: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """An assessment as kept."""

    pk: int
    day: date
    measures: Measures
    by: str = ""
    how: str = ""


def said_words(word: str, said_on: date) -> str:
    """ "go ahead, with limits, said on 30 October 2026"."""
    return f"{_SAID[ClearanceWord(word)]}, said on {short_day_words(said_on)}"


def clearance_event(said: Said, signs: Mapping[int, str], *, quiet: bool) -> Event:
    """What a clinician said, with its limits, its end, what it answers and how it is known."""
    fact = said.fact
    until = f"until {short_day_words(fact.until)}" if fact.until else ""
    until = until_end_words(quiet=quiet) if fact.until_birth else until
    answered = [signs[pk] for pk in fact.answers if pk in signs]
    known = _KNOWN[fact.known_by]
    who = (unless_quiet(word, quiet=quiet) for word in (fact.clinician_kind, fact.clinician))
    notes = [
        "; ".join(filter(None, (until, *limit_words(fact.limits, quiet=quiet)))),
        f"answers: {', '.join(answered)}" if answered else "",
        ", ".join(filter(None, (known, _EXAMINED.get(fact.examined, "examined: not known")))),
        unless_quiet(said.note, quiet=quiet, instead=HIDDEN),
    ]
    if fact.withdrawn_on:
        day = short_day_words(fact.withdrawn_on)
        reason = unless_quiet(said.withdrawn_reason, quiet=quiet, instead=HIDDEN)
        notes = [f"recorded by mistake, withdrawn on {day}: {reason}"]
    return Event(
        kind="clearance",
        pk=fact.pk or 0,
        on=fact.said_on,
        title=f"Clearance: {_SAID[fact.word]}",
        detail=", ".join(word for word in who if word),
        notes=tuple(sentence(note) for note in notes if note),
        letter=said.letter,
        void=fact.withdrawn_on is not None,
    )


def sign_event(sign: SignFact, label: str, *, waits: bool) -> Event:
    """A warning sign by its words (`label`), and whether a clinician has answered it."""
    known = sign.known_on if sign.known_on != sign.happened_on else None
    notes = [
        "Not answered by a clinician yet: on hold." if waits else "Answered by a clinician.",
        f"Known since {short_day_words(known)}." if known else "",
    ]
    return Event(
        "sign", sign.pk, sign.happened_on, f"Warning sign: {label}",
        notes=tuple(note for note in notes if note), waits=waits,
    )  # fmt: skip


def assessment_events(measured: Sequence[Measured], *, quiet: bool) -> list[Event]:
    """Assessments in the order of their days, each beside the one before it."""
    earlier: dict[str, int] = {}
    events = []
    for one in sorted(measured, key=lambda one: (one.day, one.pk)):
        events.append(_assessment_event(one, earlier, quiet))
        earlier |= {site: mm for site in SITES if (mm := getattr(one.measures, site)) is not None}
    return events


def _assessment_event(one: Measured, earlier: Mapping[str, int], quiet: bool) -> Event:
    measures = one.measures
    widths = [_width(site, getattr(measures, site), earlier.get(site)) for site in SITES]
    answers = [
        f"{'' if answer == 'yes' else 'no '}{words}"
        for name, words in _SYMPTOMS.items()
        if (answer := getattr(measures, name))
    ]
    effort = f"effort {measures.effort} of 10" if measures.effort is not None else ""
    note = unless_quiet(measures.note, quiet=quiet, instead=HIDDEN)
    told = "; ".join(filter(None, (*widths, *answers, effort)))
    return Event(
        "assessment", one.pk, one.day, "Assessment",
        detail=", ".join(filter(None, (unless_quiet(one.by, quiet=quiet), WAYS.get(one.how, "")))),
        notes=tuple(sentence(note) for note in (told, note) if note),
    )  # fmt: skip


def _width(site: str, mm: int | None, before: int | None) -> str:
    if mm is None:
        return ""
    was = f", was {before}" if before is not None and before != mm else ""
    return f"{mm} mm {SITES[site]}{was}"


def dates_event(told: Told) -> Event:
    """A pregnancy as the page tells it: running, or over."""
    return Event("dates", told.pk, told.on, told.title, notes=told.notes, now=not told.over)


def newest_first(events: Iterable[Event]) -> list[Event]:
    """What runs now, then by day, the unknown days last."""
    return sorted(
        events, key=lambda one: (one.now, one.on or date.min, one.kind, one.pk), reverse=True
    )
