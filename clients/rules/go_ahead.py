"""The go-ahead of a client on a date: a word, every reason for it, and what would mend it. Pure.

Rules of the practice unless a source stands beside: on hold before waiting before run out before
a letter on file; the strictest wins and all reasons are told. Facts count from the day they
became known. There is no "yes" here: not everything is checked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from clients.rules import reasons
from clients.rules.facts import ClientFacts, PregnancyFact, SignFact
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.known_day import KnownDay
from clients.rules.policy import policy
from clients.rules.reasons import Reason
from coach.scheduling.dates import LONGEST_DAYS, TERM_DAYS
from coach.scheduling.dating import CONCEPTION_TO_TERM_DAYS
from coach.scheduling.values import GoAhead, GoAheadWord, Stage

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Span:
    """The word from a first day to a last, both inclusive; `last` None is open."""

    first: date
    last: date | None
    word: GoAheadWord


def go_ahead(facts: ClientFacts, on: date) -> GoAhead:
    """What the facts known on a date come to on it.

    `since` is the first day of this word, None where it was never another; `until` the last day
    that a letter on file names or policy gives it, None for "until the birth" and for any other
    word. A due date is never in `until`.
    """
    day = KnownDay.of(facts, on, policy())
    found = sorted(_reasons(day), key=lambda one: STRICTEST_FIRST.index(one.word))
    word = found[0].word
    wanting = [one for one in found if one.word is not GoAheadWord.LETTER_ON_FILE] or found
    return GoAhead(
        on=on,
        word=word,
        reasons=tuple(one.finding for one in found),
        limits=day.limits,
        mend=" ".join(dict.fromkeys(one.mend for one in wanting if one.mend)),
        since=_since(facts, on, word),
        until=_until(day) if word is GoAheadWord.LETTER_ON_FILE else None,
    )


def spans(facts: ClientFacts, first: date, last: date | None = None) -> tuple[Span, ...]:
    """The words from a first day to a last, tiling it: neighbours differ, nothing is left out.

    Without a last day the last span is open. ValueError when the last is before the first.
    """
    if last is not None and last < first:
        raise ValueError("the last day is before the first")
    days = {day for day in _turns(facts) if first < day and (last is None or day <= last)}
    begun = [(day, word_on(facts, day)) for day in sorted({first, *days})]
    begun = [one for n, one in enumerate(begun) if n == 0 or one[1] is not begun[n - 1][1]]
    ends = [day - _DAY for day, _ in begun[1:]]
    return tuple(
        Span(day, end, word) for (day, word), end in zip(begun, [*ends, last], strict=True)
    )


def word_on(facts: ClientFacts, on: date) -> GoAheadWord:
    """The word of `go_ahead` alone."""
    words = {one.word for one in _reasons(KnownDay.of(facts, on, policy()))}
    return next(word for word in STRICTEST_FIRST if word in words)


def unanswered(facts: ClientFacts, on: date) -> list[SignFact]:
    """The warning signs known on a date that no clinician has answered by name."""
    return KnownDay.of(facts, on, policy()).unanswered


def letter_until(facts: ClientFacts, on: date) -> date | None:
    """The last day of the letters in force on a date; None without one, or until the birth."""
    return _until(KnownDay.of(facts, on, policy()))


def _reasons(day: KnownDay) -> Iterator[Reason]:
    """Every reason, at least one."""
    yield from (reasons.unanswered_sign(day, one) for one in day.unanswered)
    yield from (reasons.advised_against(day, one) for one in day.against)
    if day.past_due or day.stage is Stage.PAST_DUE:
        yield reasons.past_forty_weeks(day)
    elif day.stage is Stage.UNKNOWN:
        yield reasons.stage_unknown(day)
    yield from _of_letters(day)


def _of_letters(day: KnownDay) -> Iterator[Reason]:
    """A letter on file; or why there is none in force, and what there is instead."""
    letters = day.letters
    yield from (reasons.letter_on_file(day, one) for one in letters)
    if letters:
        yield reasons.not_checked(day)
        return
    over = day.lifting
    hearsay = [one for one in day.allowing if not one.lifts and (day.in_force(one) or not over)]
    yield from (reasons.her_word(day, one) for one in hearsay)
    if over:
        yield reasons.run_out(
            day, max(over, key=lambda one: (day.last_day(one) or date.max, one.said_on))
        )
    elif not hearsay:
        yield from _no_letter(day)


def _no_letter(day: KnownDay) -> Iterator[Reason]:
    before = [one for one in day.facts.clearances if one.lifts]
    if not before:
        yield reasons.no_letter(day)
        return
    latest = max(before, key=lambda one: one.said_on)
    if day.overtaken_on(latest) and latest in day.allowing:
        yield reasons.overtaken(day, latest)
        return
    tell = reasons.before_begun if day.after_end(latest) else reasons.before_end
    yield tell(day, latest)


def _since(facts: ClientFacts, on: date, word: GoAheadWord) -> date | None:
    first: date | None = on
    for turn in sorted((day for day in _turns(facts) if day <= on), reverse=True):
        first = turn
        if word_on(facts, turn - _DAY) is not word:
            return first
    return None


def _until(day: KnownDay) -> date | None:
    lasts = [day.last_day(one) for one in day.letters]
    known = [last for last in lasts if last]
    return max(known) if known and len(known) == len(lasts) else None


def _turns(facts: ClientFacts) -> set[date]:
    """Every day on which the word may differ from the day before's."""
    weeks = 7 * policy().letter_counts_weeks
    found = {sign.counts_from for sign in facts.signs}
    for one in facts.clearances:
        found |= {one.counts_from, *_later(one.said_on, weeks + 1), *_later(one.until, 1)}
        found |= {one.withdrawn_on} if one.withdrawn_on else set()
    for pregnancy in facts.pregnancies:
        for version in pregnancy.versions:
            found |= _turns_of_dates(version)
    return found


def _turns_of_dates(one: PregnancyFact) -> set[date]:
    """When it became known, begins, reaches its due date and ends, and the longest it can last."""
    begin = (-TERM_DAYS, -CONCEPTION_TO_TERM_DAYS, 1)
    found = {day for shift in begin for day in _later(one.due, shift)}
    found |= {day for shift in (-LONGEST_DAYS, 0) for day in _later(one.ended, shift)}
    return found | ({one.known_on} if one.known_on else set())


def _later(day: date | None, shift: int) -> set[date]:
    """The day so many days on; nothing for no day, or where the calendar ends before it."""
    n = 0 if day is None else day.toordinal() + shift
    return {date.fromordinal(n)} if 1 < n <= date.max.toordinal() else set()
