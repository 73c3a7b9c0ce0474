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
    `examined`: "yes", "no", "" not known. `known_on` None is "on the day it was said".
    `withdrawn_on`: from that day on it never was (recorded by mistake).
    """

    said_on: date
    word: ClearanceWord = ClearanceWord.GO_AHEAD
    known_by: KnownBy = KnownBy.LETTER
    known_on: date | None = None
    limits: Limits = field(default_factory=Limits)
    until: date | None = None
    until_birth: bool = False
    answers: tuple[int, ...] = ()
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
    """A warning sign. `known_on` None is "on the day it happened"; `text` is free."""

    pk: int
    code: str
    happened_on: date
    known_on: date | None = None
    text: str = ""

    @property
    def counts_from(self) -> date:
        """The day it became known: it acts from then, whatever day it happened."""
        return self.known_on or self.happened_on

    def answered_by(self, one: ClearanceFact) -> bool:
        """Whether a clearance answers it: by name, by a clinician, not said before it happened."""
        return one.lifts and self.pk in one.answers and one.said_on >= self.happened_on


@dataclass(frozen=True, slots=True)
class PregnancyFact:
    """The dates of a pregnancy as recorded from `known_on` on (None: all along).

    `before` is how they stood until then; None: the pregnancy was not known.
    """

    due: date | None = None
    ended: date | None = None
    ending: Ending | None = None
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
    quiet: bool = False

    def known_by(self, on: date) -> ClientFacts:
        """The same as it was known on a day: nothing that was recorded as known later."""
        pregnancies = (one.as_known(on) for one in self.pregnancies)
        return replace(
            self,
            pregnancies=tuple(one for one in pregnancies if one),
            clearances=tuple(
                one
                for one in self.clearances
                if one.counts_from <= on and (one.withdrawn_on is None or one.withdrawn_on > on)
            ),
            signs=tuple(one for one in self.signs if one.counts_from <= on),
        )
