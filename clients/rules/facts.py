"""What the go-ahead rests on, as frozen values: pregnancies, clearances, warning signs. Pure.

Each carries the day it became known; on an earlier day it is as if it had not been recorded.
Ids tie a clearance to the signs that it answers; they tell nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Limits


class ClearanceWord(StrEnum):
    """What a clinician said."""

    GO_AHEAD = "go-ahead"
    LIMITS = "limits"
    AGAINST = "against"


class KnownBy(StrEnum):
    """How the coach knows what a clinician said. CLIENT is the client's own word."""

    LETTER = "letter"
    SPOKEN = "spoken"
    CLIENT = "client"

    @property
    def from_clinician(self) -> bool:
        """True when the coach has it from the clinician: only then can it lift anything."""
        return self is not KnownBy.CLIENT


@dataclass(frozen=True, slots=True)
class ClearanceFact:
    """One thing that a clinician said.

    `until` is its last day, inclusive; `until_birth`: for the rest of the pregnancy. With
    neither it counts as long as the policy says. `answers` holds ids of signs that it names.
    `answers_conditions` holds keys of conditions, `replaces` ids of earlier clearances whose
    place it takes. `names_more`: the clinician allowed more than gentle recovery in the first
    weeks after the end. `examined`: "yes", "no", "" not known. `known_on` None is "on the day it
    was said". `withdrawn_on`: from that day on it never was (recorded by mistake).
    """

    said_on: date
    word: ClearanceWord = ClearanceWord.GO_AHEAD
    known_by: KnownBy = KnownBy.LETTER
    known_on: date | None = None
    limits: Limits = field(default_factory=Limits)
    until: date | None = None
    until_birth: bool = False
    answers: tuple[int, ...] = ()
    answers_conditions: tuple[str, ...] = ()
    replaces: tuple[int, ...] = ()
    names_more: bool = False
    clinician: str = ""
    clinician_kind: str = ""
    examined: str = ""
    withdrawn_on: date | None = None
    pk: int | None = None

    @property
    def counts_from(self) -> date:
        """The first day on which it was both said and known."""
        return max(self.said_on, self.known_on or self.said_on)

    @property
    def lifts(self) -> bool:
        """Whether it can lift what holds her: a clinician's, and for training."""
        return self.known_by.from_clinician and self.word is not ClearanceWord.AGAINST


@dataclass(frozen=True, slots=True)
class SignFact:
    """A warning sign. `known_on` None is "on the day it happened"; `text` is free.

    `withdrawn_on`: from that day on it never was (tapped by mistake).
    """

    pk: int
    code: str
    happened_on: date
    known_on: date | None = None
    text: str = ""
    withdrawn_on: date | None = None

    @property
    def counts_from(self) -> date:
        """The day it became known: it acts from then, whatever day it happened."""
        return self.known_on or self.happened_on

    def answered_by(self, one: ClearanceFact) -> bool:
        """Whether a clearance answers it: by name, by a clinician, not said before it happened."""
        return one.lifts and self.pk in one.answers and one.said_on >= self.happened_on


@dataclass(frozen=True, slots=True)
class ConditionFact:
    """A condition that a clinician named, or an answer of "yes" or "unsure" to a question.

    `code` is a question of clients/data/screening.toml; `key` is what a clearance answers it by.
    `origin`: "clinician" or "screening". `over_on`: from that day on it is no more, as a clinician
    said, known since `over_known_on`.
    """

    key: str
    code: str
    named_on: date
    known_on: date | None = None
    answer: str = "yes"
    origin: str = "clinician"
    over_on: date | None = None
    over_known_on: date | None = None
    text: str = ""

    @property
    def counts_from(self) -> date:
        """The first day on which it was both named and known."""
        return max(self.named_on, self.known_on or self.named_on)


@dataclass(frozen=True, slots=True)
class ScreeningFact:
    """A set of health questions, answered. `phase`: "pregnant" or "after".

    `complete`: every question has its answer; `all_no`: and each is "no". One that is not complete
    is no screening: its yeses are conditions and signs of their own.
    """

    answered_on: date
    known_on: date | None = None
    phase: str = "pregnant"
    complete: bool = True
    all_no: bool = True
    pk: int | None = None

    @property
    def counts_from(self) -> date:
        """The first day on which it was both answered and known."""
        return max(self.answered_on, self.known_on or self.answered_on)


@dataclass(frozen=True, slots=True)
class PregnancyFact:
    """A pregnancy as recorded from `known_on` on (None: all along).

    `before` is how it stood until then; None: the pregnancy was not known. `birth_mode`: "",
    "vaginal", "assisted" or "caesarean".
    """

    due: date | None = None
    ended: date | None = None
    ending: Ending | None = None
    expected: int = 1
    birth_mode: str = ""
    pk: int | None = None
    known_on: date | None = None
    before: PregnancyFact | None = None

    @property
    def dates(self) -> PregnancyDates:
        """The dates as they stand now."""
        return PregnancyDates(due=self.due, ended=self.ended, ending=self.ending)

    @property
    def versions(self) -> Iterator[PregnancyFact]:
        """As it stands now, and as it stood before, the latest first."""
        one: PregnancyFact | None = self
        while one:
            yield one
            one = one.before

    @property
    def number_known_on(self) -> date | None:
        """The day since which so many are expected; None: all along."""
        since = self.known_on
        for one in self.versions:
            if one.expected != self.expected:
                break
            since = one.known_on
        return since

    def as_known(self, on: date) -> PregnancyFact | None:
        """The dates as they were known on a day; None before the pregnancy was known at all."""
        known = (one for one in self.versions if one.known_on is None or one.known_on <= on)
        return next(known, None)

    def ended_by(self, ending: Ending, ended: date, *, known_on: date) -> PregnancyFact:
        """The same pregnancy with its end, which became known on a day."""
        return replace(self, ending=ending, ended=ended, known_on=known_on, before=self)


@dataclass(frozen=True, slots=True)
class ClientFacts:
    """All that the go-ahead of one client rests on. `quiet` changes words, never the answer."""

    pregnancies: tuple[PregnancyFact, ...] = ()
    clearances: tuple[ClearanceFact, ...] = ()
    signs: tuple[SignFact, ...] = ()
    conditions: tuple[ConditionFact, ...] = ()
    screenings: tuple[ScreeningFact, ...] = ()
    quiet: bool = False

    def known_by(self, on: date, known: date | None = None) -> ClientFacts:
        """What had happened by a day, as it was known by another (None: by that same day)."""
        known = known or on
        pregnancies = (one.as_known(known) for one in self.pregnancies)
        return replace(
            self,
            pregnancies=tuple(one for one in pregnancies if one),
            clearances=tuple(
                one
                for one in self.clearances
                if one.said_on <= on and _is_known(one.said_on, one.known_on, known)
                if one.withdrawn_on is None or one.withdrawn_on > known
            ),
            signs=tuple(
                one
                for one in self.signs
                if one.happened_on <= on and _is_known(one.happened_on, one.known_on, known)
                if one.withdrawn_on is None or one.withdrawn_on > known
            ),
            conditions=tuple(
                _as_known(one, known)
                for one in self.conditions
                if one.named_on <= on and _is_known(one.named_on, one.known_on, known)
            ),
            screenings=tuple(
                one
                for one in self.screenings
                if one.answered_on <= on and _is_known(one.answered_on, one.known_on, known)
            ),
        )


def _is_known(happened: date, known_on: date | None, known: date) -> bool:
    return max(happened, known_on or happened) <= known


def _as_known(one: ConditionFact, known: date) -> ConditionFact:
    """Without its end, where that became known later."""
    if one.over_on is None or _is_known(one.over_on, one.over_known_on, known):
        return one
    return replace(one, over_on=None, over_known_on=None)
