"""The time line of a client's page: what was said, seen, measured, and what ended. Pure.

Titles and notes name no baby, birth or due date of their own for a quiet client; what the coach
wrote herself is printed as she wrote it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
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


# The kinds of line in the order in which the filter offers them, with its words.
KINDS: dict[str, str] = {
    "note": "notes",
    "message": "messages",
    "clearance": "clearance",
    "sign": "warning signs",
    "screening": "screening",
    "condition": "conditions",
    "assessment": "assessments",
    "exception": "exceptions",
    "letter": "letters out",
    "form": "forms",
    "consent": "consents",
    "dates": "pregnancies",
}
_QUIET_KINDS = {"dates": "dates"}


@dataclass(frozen=True, slots=True)
class Beneath:
    """What was added to an entry after it was locked: whose, when, and the words."""

    pk: int
    by: str
    text: str
    open: bool = False


@dataclass(frozen=True, slots=True)
class Event:
    """One line: `kind` is one of KINDS; `pk` is of its row; `at`: when it was written down.

    `waits` marks what no clinician has answered, or nobody has looked at; `void` what was recorded
    by mistake; `origin` whose record it was before; `text` what somebody wrote at length, with
    `beneath` what was added; `open`: the reader may still change it,
    or a condition is not over.
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
    at: datetime | None = None
    origin: str = ""
    text: str = ""
    beneath: tuple[Beneath, ...] = ()
    open: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """A clearance with what the rules of the go-ahead do not need."""

    fact: ClearanceFact
    note: str = ""
    letter: bool = False
    withdrawn_reason: str = ""
    origin: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Named:
    """How what a clearance points to is told: signs and earlier clearances by id, conditions by
    their keys.
    """

    signs: Mapping[int, str]
    conditions: Mapping[str, str] = field(default_factory=dict)
    clearances: Mapping[int, str] = field(default_factory=dict)

    def answered(self, fact: ClearanceFact) -> list[str]:
        """What a clearance answers, in words."""
        signs = [self.signs[pk] for pk in fact.answers if pk in self.signs]
        keys = fact.answers_conditions
        return [*signs, *(self.conditions[key] for key in keys if key in self.conditions)]

    def replaced(self, fact: ClearanceFact) -> list[str]:
        """What it takes the place of, in words."""
        return [self.clearances[pk] for pk in fact.replaces if pk in self.clearances]


def said_words(word: str, said_on: date) -> str:
    """ "go ahead, with limits, said on 30 October 2026"."""
    return f"{_SAID[ClearanceWord(word)]}, said on {short_day_words(said_on)}"


def clearance_event(said: Said, named: Named, *, quiet: bool) -> Event:
    """What a clinician said, with its limits, its end, what it answers and how it is known."""
    fact = said.fact
    who = (unless_quiet(word, quiet=quiet) for word in (fact.clinician_kind, fact.clinician))
    notes = _withdrawn(said, quiet) if fact.withdrawn_on else _told(said, named, quiet)
    return Event(
        kind="clearance",
        pk=fact.pk or 0,
        on=fact.said_on,
        title=f"Clearance: {_SAID[fact.word]}",
        detail=", ".join(word for word in who if word),
        notes=tuple(sentence(note) for note in notes if note),
        letter=said.letter,
        void=fact.withdrawn_on is not None,
        at=said.at,
        origin=origin_words(said.origin, quiet=quiet),
    )


def _told(said: Said, named: Named, quiet: bool) -> list[str]:
    fact = said.fact
    until = f"until {short_day_words(fact.until)}" if fact.until else ""
    until = until_end_words(quiet=quiet) if fact.until_birth else until
    answered, replaced = named.answered(fact), named.replaced(fact)
    known = [_KNOWN[fact.known_by], _EXAMINED.get(fact.examined, "examined: not known")]
    if fact.known_on and fact.known_on != fact.said_on:
        known.append(f"known since {short_day_words(fact.known_on)}")
    return [
        "; ".join(filter(None, (until, *limit_words(fact.limits, quiet=quiet)))),
        "more than gentle recovery work is named" if fact.names_more else "",
        f"answers: {', '.join(answered)}" if answered else "",
        f"takes the place of: {', '.join(replaced)}" if replaced else "",
        ", ".join(known),
        unless_quiet(said.note, quiet=quiet, instead=HIDDEN),
    ]


def _withdrawn(said: Said, quiet: bool) -> list[str]:
    day = said.fact.withdrawn_on
    return [mistake_words(day, said.withdrawn_reason, quiet=quiet)] if day else []


def mistake_words(on: date, reason: str, *, quiet: bool) -> str:
    """What stands beneath a line that was recorded by mistake."""
    told = unless_quiet(reason, quiet=quiet, instead=HIDDEN)
    return f"recorded by mistake, withdrawn on {short_day_words(on)}: {told}"


def origin_words(origin: str, *, quiet: bool) -> str:
    """Whose record it was before, where another coach handed it over."""
    return (
        f"From another coach: {unless_quiet(origin, quiet=quiet, instead='name not shown')}"
        if (origin)
        else ""
    )


def dates_event(told: Told) -> Event:
    """A pregnancy as the page tells it: running, or over."""
    return Event("dates", told.pk, told.on, told.title, notes=told.notes, now=not told.over)


def newest_first(events: Iterable[Event]) -> list[Event]:
    """What runs now, then by day and within a day by when it was written; unknown days last."""
    return sorted(events, key=_order, reverse=True)


def _order(one: Event) -> tuple[bool, date, float, str, int]:
    written = one.at.timestamp() if one.at else 0.0
    return one.now, one.on or date.min, written, one.kind, one.pk


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to look at the time line, with how many lines it shows; `code` "" is all."""

    code: str
    words: str
    count: int
    chosen: bool


def choices(events: Sequence[Event], kind: str, *, quiet: bool) -> list[Choice]:
    """All of them, and each kind that there is any of."""
    counts = Counter(one.kind for one in events)
    names = KINDS | _QUIET_KINDS if quiet else KINDS
    found = [Choice("", "all", len(events), not kind)]
    return found + [
        Choice(code, words, counts[code], code == kind)
        for code, words in names.items()
        if counts[code] or code == kind
    ]


def of_kind(events: Iterable[Event], kind: str) -> list[Event]:
    """Those of one kind; all of them for no kind, or for one that there is not."""
    return [one for one in events if kind not in KINDS or one.kind == kind]
