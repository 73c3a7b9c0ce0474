"""The facts as they were known on one day, asked the questions that the go-ahead puts. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from clients.rules.conditions import babies_key
from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ClientFacts,
    ConditionFact,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.policy import Policy
from clients.rules.screening import Effect, effect_on, questions
from clients.rules.warning_signs import AFTER, PREGNANT
from coach.scheduling.dates import (
    TERM_DAYS,
    Ending,
    GestationalAge,
    PregnancyDates,
    gestational_age,
    stage_on,
)
from coach.scheduling.dating import CONCEPTION_TO_TERM_DAYS
from coach.scheduling.values import Limits, Stage

WEEK = 7
_TWINS, _MORE = "twins", "triplets"


@dataclass(frozen=True)
class KnownDay:
    """One day with what was known of it (`facts` holds nothing else), and that day's policy."""

    facts: ClientFacts
    on: date
    policy: Policy

    @classmethod
    def of(
        cls, facts: ClientFacts, on: date, policy: Policy, known: date | None = None
    ) -> KnownDay:
        """The day, with everything left out that happened or became known later."""
        return cls(facts.known_by(on, known), on, policy)

    # Where she is

    @cached_property
    def pregnancies(self) -> list[PregnancyDates]:
        return [one.dates for one in self.facts.pregnancies]

    @cached_property
    def stage(self) -> Stage:
        return stage_on(self.pregnancies, self.on)

    @cached_property
    def ended(self) -> list[tuple[date, PregnancyFact]]:
        """The pregnancies that ended up to the day, of those whose day is known, the last last."""
        found = [
            (one.ended, one) for one in self.facts.pregnancies if one.ended and one.ended <= self.on
        ]
        return sorted(found, key=lambda pair: pair[0])

    @cached_property
    def last_end(self) -> PregnancyFact | None:
        return self.ended[-1][1] if self.ended else None

    @cached_property
    def _end(self) -> date | None:
        return self.ended[-1][0] if self.ended else None

    @cached_property
    def running(self) -> list[PregnancyFact]:
        """Pregnancies with a due date that had begun by the day and not ended."""
        return [
            one
            for one in self.facts.pregnancies
            if one.due and one.due - timedelta(days=TERM_DAYS) <= self.on
            if not one.dates.over or (one.ended and one.ended > self.on)
        ]

    @cached_property
    def begun(self) -> date | None:
        """The day from which a letter can have been about the pregnancy that runs, if one does.

        That is conception, 266 days before the due date (ACOG CO 700).
        """
        length = timedelta(days=CONCEPTION_TO_TERM_DAYS)
        begun = [one.due - length for one in self.running if one.due]
        return max((day for day in begun if day <= self.on), default=None)

    @cached_property
    def age(self) -> GestationalAge | None:
        """The age of the pregnancy that runs, of several the highest; None: not known."""
        due = min((one.due for one in self.running if one.due), default=None)
        return gestational_age(due, self.on) if due else None

    @cached_property
    def past_due(self) -> bool:
        """Whether a pregnancy is so far past its due date that she must be asked first."""
        days = timedelta(days=self.policy.past_due_days - TERM_DAYS)
        return any(one.due and one.due + days <= self.on for one in self.running)

    @property
    def phase(self) -> str:
        """Which set of questions is hers: a pregnancy that runs asks its own."""
        return PREGNANT if self.stage.pregnant else AFTER

    @property
    def letter_wanted(self) -> bool:
        """In pregnancy, and for the policy's weeks after an end; where the stage is not known."""
        if self.stage.pregnant or self._end is None:
            return True
        return self.on < self._end + timedelta(weeks=self.policy.letter_wanted_weeks)

    # What clinicians said

    def after_end(self, day: date) -> bool:
        """Whether a day is after the last end; that very day is not."""
        return self._end is None or day > self._end

    def since_begun(self, day: date) -> bool:
        """Whether a day is in the pregnancy that runs, if one does."""
        return self.begun is None or day >= self.begun

    def _of_now(self, day: date) -> bool:
        """Whether a day is in the present time: after the last end, in the pregnancy that runs."""
        return self.after_end(day) and self.since_begun(day)

    @cached_property
    def replaced(self) -> set[int]:
        """Ids of clearances whose place a later one of a clinician has taken."""
        said = {one.pk: one.said_on for one in self.facts.clearances}
        return {
            pk
            for one in self.facts.clearances
            if one.known_by.from_clinician
            for pk in one.replaces
            if pk in said and pk != one.pk and said[pk] <= one.said_on
        }

    @cached_property
    def allowing(self) -> list[ClearanceFact]:
        """What was said for training, of the time that counts, run out or not."""
        return [
            one
            for one in self.facts.clearances
            if one.word is not ClearanceWord.AGAINST and one.pk not in self.replaced
            if self._of_now(one.said_on)
        ]

    def last_day(self, one: ClearanceFact) -> date | None:
        """The last day on which a clearance counts by its own end or policy; None: no such day.

        Until the birth counts while a pregnancy runs; without one it is like no end at all.
        """
        if one.until or (one.until_birth and self.stage.pregnant):
            return one.until
        if not self.policy.checks("policy-end"):
            return None
        return one.said_on + timedelta(weeks=self.policy.letter_counts_weeks)

    def in_force(self, one: ClearanceFact) -> bool:
        """Whether its last day has not gone by."""
        last = self.last_day(one)
        return last is None or last >= self.on

    def overtaken_on(self, one: ClearanceFact) -> date | None:
        """The day of the latest no or warning sign after it was said; None: there is none.

        What was said before either never counts again, not even once a later letter that
        answered it has run out. Its limits still do. Of one day nobody knows which was first: a
        letter of that very day counts only if it names the sign.
        """
        no = [
            other.said_on
            for other in self.facts.clearances
            if other.word is ClearanceWord.AGAINST and other.said_on >= one.said_on
        ]
        signs = [
            sign.happened_on
            for sign in self.facts.signs
            if sign.happened_on >= one.said_on and not sign.answered_by(one)
        ]
        return max((*no, *signs), default=None)

    def rests_on_examination(self, one: ClearanceFact) -> bool:
        """Whether it may count after a birth, or after an end of which nobody says what it was."""
        end = self.last_end
        if end is None or end.ending is Ending.LOSS or self.begun:
            return True
        return one.examined == "yes" or not self.policy.checks("examined")

    @cached_property
    def lifting(self) -> list[ClearanceFact]:
        """What a clinician is known to have said for training and nothing has overtaken."""
        return [
            one
            for one in self.allowing
            if one.lifts and self.rests_on_examination(one) and not self.overtaken_on(one)
        ]

    @cached_property
    def letters(self) -> list[ClearanceFact]:
        """Those of them that are in force."""
        return [one for one in self.lifting if self.in_force(one)]

    @cached_property
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
            if self.after_end(one.said_on)
            and (one.until is None or one.until >= self.on)
            and one.said_on >= max(lifting, default=date.min)
        ]

    # Signs, conditions and questions

    @cached_property
    def unanswered(self) -> list[SignFact]:
        """Warning signs that no clinician has answered by name, said on or after their day."""
        said = self.facts.clearances
        return [one for one in self.facts.signs if not any(map(one.answered_by, said))]

    @cached_property
    def conditions(self) -> list[tuple[ConditionFact, Effect, bool]]:
        """What was named and is not over, what it does today, and whether it is answered."""
        named = [*filter(self._holds, self.facts.conditions), *self._by_number()]
        found = []
        for one in named:
            # What she answered herself is never switched off.
            count = one.origin == "screening" or self.policy.checks("conditions")
            effect = effect_on(one.code, one.answer, self.age, weeks_count=count)
            found.append((one, effect, self._is_answered(one, effect)))
        return found

    def _holds(self, one: ConditionFact) -> bool:
        """Whether a condition is still hers: one of a pregnancy goes with it."""
        if one.over_on and one.over_on <= self.on:
            return False
        question = questions().get(one.code)
        if question is None or question.phases != {PREGNANT}:
            return True
        return not any(one.named_on <= ended for ended, _ in self.ended)

    def _by_number(self) -> Iterable[ConditionFact]:
        """What the number expected is: known since the day that the number became known."""
        for one in self.running:
            if one.expected > 1 and one.due:
                since = one.number_known_on or one.due - timedelta(days=TERM_DAYS)
                code = _TWINS if one.expected == 2 else _MORE
                yield ConditionFact(babies_key(one.pk or 0), code, since, since)

    def _is_answered(self, one: ConditionFact, effect: Effect) -> bool:
        since = max(one.named_on, self._stop_began(one) or one.named_on)
        if effect is not Effect.STOP:
            since = one.named_on
        return any(
            said.lifts and one.key in said.answers_conditions and said.said_on >= since
            for said in self.facts.clearances
        )

    def _stop_began(self, one: ConditionFact) -> date | None:
        """The day from which it stops her, where that is some week of the pregnancy."""
        question = questions().get(one.code)
        begins = question.begins(Effect.STOP) if question else None
        if begins is None or self.age is None:
            return None
        return self.on - timedelta(days=self.age.days - begins.days)

    @cached_property
    def screenings(self) -> list[ScreeningFact]:
        """Complete sets of the present time, the latest last."""
        found = [
            one
            for one in self.facts.screenings
            if one.complete and one.phase == self.phase
            if self._of_now(one.answered_on)
        ]
        return sorted(found, key=lambda one: one.answered_on)

    def screening_ends(self, one: ScreeningFact) -> date:
        """The last day on which answers count."""
        return one.answered_on + timedelta(weeks=self.policy.screening_counts_weeks)

    @cached_property
    def screening(self) -> ScreeningFact | None:
        """The answers that count now."""
        latest = self.screenings[-1] if self.screenings else None
        return latest if latest and self.screening_ends(latest) >= self.on else None

    @cached_property
    def screening_suffices(self) -> bool:
        """Whether the practice's own policy takes answers, every one no, instead of a letter."""
        return bool(
            self.policy.screening_suffices
            and self.screening
            and self.screening.all_no
            and not self.conditions
            and not any(self._of_now(one.said_on) for one in self.facts.clearances)
            and not any(self.after_end(one.happened_on) for one in self.facts.signs)
            and not self.since_end_under(self.policy.gentle_weeks)
        )

    # What is limited

    def since_end_under(self, weeks: int) -> list[PregnancyFact]:
        """The pregnancies that ended less than so many weeks ago."""
        span = timedelta(weeks=weeks)
        return [one for ended, one in self.ended if self.on - ended < span]

    @cached_property
    def gentle(self) -> PregnancyFact | None:
        """The pregnancy whose first weeks of recovery allow no more than gentle work, if any."""
        if not self.policy.checks("gentle"):
            return None
        recent = self.since_end_under(self.policy.gentle_weeks)
        more = any(one.names_more and one.examined == "yes" for one in self.letters)
        return None if more or not recent else recent[-1]

    @cached_property
    def caesareans(self) -> list[tuple[PregnancyFact, Limits, date]]:
        """Operations whose recovery is not over: what it limits, and until which day.

        A birth of which nobody has said how it went counts as one: what is not known is not fine.
        """
        if not self.policy.checks("caesarean"):
            return []
        return [
            (one, limits, ended + timedelta(weeks=weeks, days=-1))
            for ended, one in self.ended
            if one.birth_mode == "caesarean" or _not_told(one)
            for weeks, limits in self._of_operation
            if self.on - ended < timedelta(weeks=weeks)
        ]

    @property
    def _of_operation(self) -> tuple[tuple[int, Limits], ...]:
        return (
            (self.policy.caesarean_impact_weeks, Limits(no_impact=True)),
            (self.policy.caesarean_trunk_weeks, Limits(no_loaded_trunk_flexion=True)),
            (self.policy.caesarean_lifting_weeks, Limits(others=("lifting nothing heavy",))),
        )

    @cached_property
    def limiting(self) -> list[ClearanceFact]:
        """What limits her, of all that was said for training, in force or not."""
        none = Limits()
        return [
            one
            for one in self.allowing
            if one.limits != none and (one.until is None or one.until >= self.on)
        ]

    @cached_property
    def letter_limits(self) -> Limits:
        """The limits of everything said of this time, her own word too: each adds to the others.

        They outlive the policy's weeks: only their own last day, or a letter that takes the place
        of theirs, ends them.
        """
        found = Limits()
        for one in self.limiting:
            found = found.and_also(one.limits)
        return found

    @cached_property
    def limits(self) -> Limits:
        """Those of letters and of recoveries, added up."""
        found = self.letter_limits
        if self.gentle:
            found = found.and_also(Limits(gentle_recovery_only=True))
        for _, limits, _ in self.caesareans:
            found = found.and_also(limits)
        return found


def _not_told(one: PregnancyFact) -> bool:
    return one.ending is not Ending.LOSS and not one.birth_mode
