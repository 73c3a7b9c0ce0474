"""The facts as they were known on one day, asked the questions that the go-ahead puts. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from clients.rules.facts import ClearanceFact, ClearanceWord, ClientFacts, SignFact
from clients.rules.policy import Policy
from coach.scheduling.dates import PregnancyDates, stage_on
from coach.scheduling.dating import CONCEPTION_TO_TERM_DAYS
from coach.scheduling.values import Limits, Stage


@dataclass(frozen=True, slots=True)
class KnownDay:
    """One day with what was known on it (`facts` holds nothing else)."""

    facts: ClientFacts
    on: date
    policy: Policy

    @classmethod
    def of(cls, facts: ClientFacts, on: date, policy: Policy) -> KnownDay:
        """The day, with everything left out that became known later."""
        return cls(facts.known_by(on), on, policy)

    @property
    def pregnancies(self) -> list[PregnancyDates]:
        return [one.dates for one in self.facts.pregnancies]

    @property
    def stage(self) -> Stage:
        return stage_on(self.pregnancies, self.on)

    @property
    def past_due(self) -> bool:
        """Whether any pregnancy is past its due date with no end recorded."""
        return any(one.due and one.due < self.on and not one.over for one in self.pregnancies)

    @property
    def last_end(self) -> PregnancyDates | None:
        """The pregnancy that ended last up to the day, of those whose day is known."""
        ended = [one for one in self.pregnancies if one.ended and one.ended <= self.on]
        return max(ended, key=lambda one: one.ended or date.min, default=None)

    @property
    def begun(self) -> date | None:
        """The day from which a letter can have been about the pregnancy that runs, if one does.

        That is conception, 266 days before the due date (ACOG CO 700).
        """
        begun = [
            one.due - timedelta(days=CONCEPTION_TO_TERM_DAYS)
            for one in self.pregnancies
            if one.due and (not one.over or (one.ended and one.ended > self.on))
        ]
        return max((day for day in begun if day <= self.on), default=None)

    def after_end(self, one: ClearanceFact) -> bool:
        """Whether it was said after the last end; on that very day is not after."""
        end = self.last_end
        return end is None or end.ended is None or one.said_on > end.ended

    def since_begun(self, one: ClearanceFact) -> bool:
        """Whether it was said since the pregnancy that runs began, if one does."""
        return self.begun is None or one.said_on >= self.begun

    @property
    def allowing(self) -> list[ClearanceFact]:
        """What was said for training, of the time that counts, run out or not."""
        return [
            one
            for one in self.facts.clearances
            if one.word is not ClearanceWord.AGAINST
            if self.after_end(one) and self.since_begun(one)
        ]

    def last_day(self, one: ClearanceFact) -> date | None:
        """The last day on which a clearance counts by its own end or policy; None: no such day.

        Until the birth counts while a pregnancy runs; without one it is like no end at all.
        """
        if one.until or (one.until_birth and self.stage.pregnant):
            return one.until
        return one.said_on + timedelta(weeks=self.policy.letter_counts_weeks)

    def in_force(self, one: ClearanceFact) -> bool:
        """Whether its last day has not gone by."""
        last = self.last_day(one)
        return last is None or last >= self.on

    def overtaken_on(self, one: ClearanceFact) -> date | None:
        """The day of the latest no or warning sign after it was said; None: there is none.

        What was said before either never counts again, not even once a later letter that
        answered it has run out. Its limits still do.
        """
        no = [
            other.said_on
            for other in self.facts.clearances
            if other.word is ClearanceWord.AGAINST and other.said_on > one.said_on
        ]
        signs = [sign.happened_on for sign in self.facts.signs if sign.happened_on > one.said_on]
        return max((*no, *signs), default=None)

    @property
    def lifting(self) -> list[ClearanceFact]:
        """What a clinician is known to have said for training and nothing has overtaken."""
        return [one for one in self.allowing if one.lifts and not self.overtaken_on(one)]

    @property
    def letters(self) -> list[ClearanceFact]:
        """Those of them that are in force."""
        return [one for one in self.lifting if self.in_force(one)]

    @property
    def against(self) -> list[ClearanceFact]:
        """What was said against training, in force.

        The client's own word is enough for a no. It ends with its own last day, with the end of
        the pregnancy, or when a clinician later said otherwise; never by the policy's weeks.
        """
        lifting = [one.said_on for one in self.allowing if one.lifts]
        return [
            one
            for one in self.facts.clearances
            if one.word is ClearanceWord.AGAINST
            if self.after_end(one)
            and (one.until is None or one.until >= self.on)
            and one.said_on >= max(lifting, default=date.min)
        ]

    @property
    def unanswered(self) -> list[SignFact]:
        """Warning signs that no clinician has answered by name, said on or after their day."""
        said = self.facts.clearances
        return [one for one in self.facts.signs if not any(map(one.answered_by, said))]

    @property
    def limits(self) -> Limits:
        """The limits of everything in force, her own word too: each adds to the others."""
        found = Limits()
        for one in self.allowing:
            if self.in_force(one):
                found = found.and_also(one.limits)
        return found
