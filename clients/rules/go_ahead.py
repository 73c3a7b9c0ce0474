"""The go-ahead of a client on a date: a word, every reason for it, and what would mend it. Pure.

Rules of the practice unless a source stands beside: on hold before waiting before run out before
any word that lets her train; the strictest wins and all reasons are told. A day is judged by what
had happened by it, as known by it or by another day, and by the policy of that day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, NamedTuple

from clients.rules import reasons
from clients.rules.facts import ClientFacts, ConditionFact, SignFact
from clients.rules.go_ahead_words import STRICTEST_FIRST
from clients.rules.known_day import KnownDay
from clients.rules.policy import DEFAULT, Policies
from clients.rules.reasons import Reason
from clients.rules.screening import Effect
from clients.rules.turns import turns
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Limits, Severity, Stage

_DAY = timedelta(days=1)
_HOLD, _WAIT, _RUN_OUT = GoAheadWord.ON_HOLD, GoAheadWord.WAITING, GoAheadWord.RUN_OUT
_LETTERS = (GoAheadWord.YES, GoAheadWord.YES_WITH_LIMITS)
# Stale paperwork, and nothing else: what one session may be trained in spite of.
STALE = frozenset(("own-end", "policy-end", "screening-old"))


@dataclass(frozen=True, slots=True)
class Span:
    """The word from a first day to a last, both inclusive; `last` None is open."""

    first: date
    last: date | None
    word: GoAheadWord


class _Found(NamedTuple):
    """A reason not yet put into words; `word` None asks for none."""

    word: GoAheadWord | None
    tell: Callable[..., Reason]
    about: tuple[Any, ...] = ()


def go_ahead(
    facts: ClientFacts, on: date, policies: Policies = DEFAULT, known: date | None = None
) -> GoAhead:
    """What had happened by a date, as known by another (None: by that date), comes to on it.

    `since` is the first day of this word, None where it was never another; `until` the last day
    of words that let her train, as far as is known: the end of a letter or of the answers to the
    health questions, or the day before a week that counts. Where the pregnancy will sooner be
    over it is None and `until_end` is set, as it is while her letters hold until the birth: a day
    that comes from a due date is never in `until`.
    """
    day = KnownDay.of(facts, on, policies.on(on), known)
    found = list(_found(day))
    word = _strictest(found)
    told = sorted(_told(day, found), key=_weight)
    wanting = [one for one in told if one.finding.severity >= Severity.WAIT] or told
    days = turns(facts, policies)
    coming = (each for each in days if each > on)
    until, end = _until(coming, day, word, policies) if word.may_train else (None, False)
    return GoAhead(
        on=on,
        word=word,
        reasons=tuple(one.finding for one in told),
        limits=day.limits,
        mend=" ".join(dict.fromkeys(one.mend for one in wanting if one.mend)),
        since=_since(facts, (each for each in days if each <= on), word, policies, known),
        until=until,
        until_end=end,
        unchecked=day.policy.unchecked,
        known=known or on,
    )


def spans(
    facts: ClientFacts, first: date, last: date | None = None, policies: Policies = DEFAULT
) -> tuple[Span, ...]:
    """The words from a first day to a last, tiling it: neighbours differ, nothing is left out.

    Each day is judged by what was known on it. Without a last day the last span is open.
    ValueError when the last is before the first.
    """
    if last is not None and last < first:
        raise ValueError("the last day is before the first")
    days = turns(facts, policies)
    inside = {day for day in days if first < day and (last is None or day <= last)}
    begun = [(day, word_on(facts, day, policies)) for day in sorted({first, *inside})]
    begun = [one for n, one in enumerate(begun) if n == 0 or one[1] is not begun[n - 1][1]]
    ends = [day - _DAY for day, _ in begun[1:]]
    return tuple(
        Span(day, end, word) for (day, word), end in zip(begun, [*ends, last], strict=True)
    )


def word_on(
    facts: ClientFacts, on: date, policies: Policies = DEFAULT, known: date | None = None
) -> GoAheadWord:
    """The word of `go_ahead` alone."""
    return _strictest(_found(KnownDay.of(facts, on, policies.on(on), known)))


def unanswered(facts: ClientFacts, on: date, policies: Policies = DEFAULT) -> list[SignFact]:
    """The warning signs known on a date that no clinician has answered by name."""
    return KnownDay.of(facts, on, policies.on(on)).unanswered


def open_conditions(
    facts: ClientFacts, on: date, policies: Policies = DEFAULT
) -> list[tuple[ConditionFact, Effect]]:
    """The conditions known on a date that stop, hold or are noted, unless answered by name."""
    day = KnownDay.of(facts, on, policies.on(on))
    return [(one, effect) for one, effect, answered in day.conditions if not answered]


def letter_until(facts: ClientFacts, on: date, policies: Policies = DEFAULT) -> date | None:
    """The last day of the letters in force on a date; None without one, or until the birth."""
    return _letter_until(KnownDay.of(facts, on, policies.on(on)))


def strictest(one: GoAhead, two: GoAhead) -> GoAhead:
    """The stricter of two days' answers, with the limits of both; of equal ones both reasons."""
    worse = min((one, two), key=lambda each: STRICTEST_FIRST.index(each.word))
    both = one.limits.and_also(two.limits)
    word = worse.word
    if word is GoAheadWord.YES and both != Limits():
        word = GoAheadWord.YES_WITH_LIMITS
    until = min((each.until for each in (one, two) if each.until), default=None)
    return replace(
        worse,
        word=word,
        limits=both,
        until=until if word.may_train else None,
        unchecked=tuple(dict.fromkeys((*one.unchecked, *two.unchecked))),
    )


def in_the_way(found: GoAhead) -> list[Finding]:
    """The reasons that keep her from training."""
    return [one for one in found.reasons if one.severity >= Severity.WAIT]


def may_except(found: GoAhead) -> bool:
    """Whether one session may be trained by exception: nothing but paperwork that went stale."""
    wanting = in_the_way(found)
    return bool(wanting) and all(one.kind in STALE for one in wanting)


def _strictest(found: Iterator[_Found] | list[_Found]) -> GoAheadWord:
    words = {one.word for one in found}
    return next(word for word in STRICTEST_FIRST if word in words)


def _told(day: KnownDay, found: list[_Found]) -> Iterator[Reason]:
    return (one.tell(day, *one.about) for one in found)


def _weight(one: Reason) -> int:
    return -int(one.finding.severity)


def _found(day: KnownDay) -> Iterator[_Found]:
    """Every reason, at least one of which has a word."""
    yield from (_Found(_HOLD, reasons.unanswered_sign, (one,)) for one in day.unanswered)
    yield from (_Found(_HOLD, reasons.advised_against, (one,)) for one in day.against)
    yield from _of_conditions(day)
    if day.past_due:
        yield _Found(_WAIT, reasons.past_due)
    elif day.stage is Stage.UNKNOWN:
        yield _Found(_WAIT, reasons.stage_unknown)
    yield from _of_screening(day)
    yield from _of_letters(day)
    yield from _of_limits(day)
    yield from (_Found(None, reasons.not_checked, (one,)) for one in day.policy.unchecked)


_BY_EFFECT = {Effect.STOP: _HOLD, Effect.HOLD: _WAIT}


def _of_conditions(day: KnownDay) -> Iterator[_Found]:
    for one, effect, answered in day.conditions:
        if answered or effect is Effect.NOTE:
            yield _Found(None, reasons.noted, (one, answered))
        else:
            yield _Found(_BY_EFFECT[effect], reasons.open_condition, (one, effect))


def _of_screening(day: KnownDay) -> Iterator[_Found]:
    if day.screening:
        yield _Found(None, reasons.screening, (day.screening,))
    elif not day.policy.checks("screening") and (day.letter_wanted or day.letters):
        return
    elif day.screenings:
        yield _Found(_WAIT, reasons.screening_old, (day.screenings[-1],))
    else:
        yield _Found(_WAIT, reasons.no_screening)


def _of_letters(day: KnownDay) -> Iterator[_Found]:
    """Letters in force; what stands in their place; or why there is neither."""
    letters = day.letters
    word = GoAheadWord.YES if day.limits == Limits() else GoAheadWord.YES_WITH_LIMITS
    yield from (_Found(word, reasons.letter_in_force, (one,)) for one in letters)
    if letters:
        return
    if not day.letter_wanted and day.screening:
        yield _Found(GoAheadWord.NO_LETTER_REQUIRED, reasons.no_letter_required)
    elif day.screening_suffices:
        yield _Found(GoAheadWord.SCREENED, reasons.screened)
    elif day.letter_wanted:
        yield from _without_letter(day)


def _without_letter(day: KnownDay) -> Iterator[_Found]:
    over = day.lifting
    hearsay = [one for one in day.allowing if not one.lifts and (day.in_force(one) or not over)]
    unexamined = [one for one in day.allowing if one.lifts and not day.rests_on_examination(one)]
    yield from (_Found(_WAIT, reasons.her_word, (one,)) for one in hearsay)
    yield from (_Found(_WAIT, reasons.not_examined, (one,)) for one in unexamined)
    if over:
        latest = max(over, key=lambda one: (day.last_day(one) or date.max, one.said_on))
        yield _Found(_RUN_OUT, reasons.run_out, (latest,))
    elif not hearsay and not unexamined:
        yield _no_letter(day)


def _no_letter(day: KnownDay) -> _Found:
    before = [one for one in day.facts.clearances if one.lifts]
    if not before:
        return _Found(_WAIT, reasons.no_letter)
    latest = max(before, key=lambda one: one.said_on)
    if day.overtaken_on(latest) and latest in day.allowing:
        return _Found(_WAIT, reasons.overtaken, (latest,))
    if not day.after_end(latest.said_on):
        return _Found(_WAIT, reasons.before_end, (latest,))
    if not day.since_begun(latest.said_on):
        return _Found(_WAIT, reasons.before_begun, (latest,))
    return _Found(_WAIT, reasons.no_letter)


def _of_limits(day: KnownDay) -> Iterator[_Found]:
    if day.gentle:
        yield _Found(None, reasons.gentle, (day.gentle,))
    for one, limits, until in day.caesareans:
        yield _Found(None, reasons.caesarean, (one, limits, until))
    kept = (one for one in day.limiting if one not in day.letters)
    yield from (_Found(None, reasons.kept_limit, (one,)) for one in kept)


def _since(
    facts: ClientFacts,
    days: Iterable[date],
    word: GoAheadWord,
    policies: Policies,
    known: date | None,
) -> date | None:
    """The latest of these turns, each up to the day, before which the word was another."""
    return next(
        (
            turn
            for turn in sorted(days, reverse=True)
            if word_on(facts, turn - _DAY, policies, known) is not word
        ),
        None,
    )


def _letter_until(day: KnownDay) -> date | None:
    lasts = [day.last_day(one) for one in day.letters]
    known = [last for last in lasts if last]
    return max(known) if known and len(known) == len(lasts) else None


def _until(
    days: Iterable[date], day: KnownDay, word: GoAheadWord, policies: Policies
) -> tuple[date | None, bool]:
    """The last day before one that is known now to let her train no more; whether it is her end."""
    held = word in _LETTERS and day.stage.pregnant and _letter_until(day) is None
    for turn in sorted(days):
        coming = KnownDay(day.facts, turn, policies.on(turn))
        found = list(_found(coming))
        if not _strictest(found).may_train:
            ends = coming.past_due or coming.stage is Stage.UNKNOWN
            return (None, True) if ends else (turn - _DAY, held)
    return None, held
