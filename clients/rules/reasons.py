"""The reasons behind a go-ahead as sentences, each with its source and what would mend it. Pure.

For a quiet client no sentence names a baby, a birth or a due date; what somebody typed is left
out where it would.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clients.rules.facts import (
    ClearanceFact,
    ClearanceWord,
    ConditionFact,
    KnownBy,
    PregnancyFact,
    ScreeningFact,
    SignFact,
)
from clients.rules.go_ahead_words import limit_words, until_end_words
from clients.rules.known_day import KnownDay
from clients.rules.policy import source_of
from clients.rules.screening import Effect, condition_source, condition_words
from clients.rules.warning_signs import sign_source, sign_words
from clients.rules.words import says_too_much, short_day_words, unless_quiet, words_for
from coach.scheduling.dates import Ending
from coach.scheduling.values import Finding, GoAheadWord, Limits, Severity

_SEVERITY = {
    GoAheadWord.ON_HOLD: Severity.STOP,
    GoAheadWord.WAITING: Severity.WAIT,
    GoAheadWord.RUN_OUT: Severity.WAIT,
}
_HOW = {
    KnownBy.LETTER: "letter of {} from {}",
    KnownBy.SPOKEN: "spoken word of {} from {}",
    KnownBy.CLIENT: "her own word of {} about {}",
}
_SAID = {
    # Not “go ahead”: beside a word that is no yes, its words must not read as one.
    ClearanceWord.GO_AHEAD: "on file",
    ClearanceWord.LIMITS: "on file, with limits",
    ClearanceWord.AGAINST: "advised against training",
}
_EXAMINED = {"yes": ", after an examination", "no": ", without an examination"}
_HEARD = {
    ("screening", "yes"): "Answer of {}: {}",
    ("screening", "unsure"): "Answer of {}, not sure: {}",
    ("clinician", "yes"): "Named by a clinician on {}: {}",
    ("clinician", "unsure"): "Suspected by a clinician on {}: {}",
}
_ORIGINS = {"screening": "answer"}


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: the finding that pages show, and what would mend it."""

    finding: Finding
    mend: str = ""


def unanswered_sign(day: KnownDay, sign: SignFact) -> Reason:
    """A warning sign that no clinician has answered."""
    words = sign_words(sign.code, sign.text, quiet=day.facts.quiet)
    return _reason(
        day,
        GoAheadWord.ON_HOLD,
        "sign",
        f"Warning sign of {short_day_words(sign.happened_on)}, not answered: {words}.",
        f"A clinician’s go-ahead that names this sign: {words}.",
        source=sign_source(sign.code),
    )


def advised_against(day: KnownDay, one: ClearanceFact) -> Reason:
    """A clinician's no."""
    until = f", until {short_day_words(one.until)}" if one.until else ""
    return _reason(
        day,
        GoAheadWord.ON_HOLD,
        "against",
        f"{_told(day, one)}: {_SAID[one.word]}{until}.",
        f"A clinician’s go-ahead, said after {short_day_words(one.said_on)}.",
    )


def past_due(day: KnownDay) -> Reason:
    """Far past the due date with no end recorded: has she given birth?"""
    quiet = day.facts.quiet
    weeks, rest = divmod(day.policy.past_due_days, 7)
    return _reason(
        day,
        GoAheadWord.WAITING,
        "past-forty-weeks",
        f"{words_for(True).asks}."
        if quiet
        else f"Has she given birth? From {weeks}w{rest}d on, with no birth recorded, this waits.",
        "Ask how she is, and record how and when it ended."
        if quiet
        else "Ask whether she has given birth, and record it.",
    )


def stage_unknown(day: KnownDay) -> Reason:
    """Where she is cannot be told from her dates."""
    why, mend = "no dates are recorded", "Record her dates."
    if day.pregnancies:
        why = "a date is missing, or dates do not agree"
        mend = "Complete her dates, or put them right."
    text = f"It is not known where she is: {why}."
    return _reason(day, GoAheadWord.WAITING, "unknown", text, mend)


def before_end(day: KnownDay, one: ClearanceFact) -> Reason:
    """The latest letter is from before the end of a pregnancy, or from that very day."""
    end = day.last_end
    assert end is not None  # something ended, or the letter would count
    assert end.ended is not None
    what = _end_words(end, quiet=day.facts.quiet)
    on = short_day_words(end.ended)
    when = "on the day of" if one.said_on == end.ended else "before"
    return _reason(
        day,
        GoAheadWord.WAITING,
        "before-end",
        f"{_told(day, one)}: said {when} {what} ({on}), so it does not count after it.",
        f"A new letter, said after {on}.",
    )


def before_begun(day: KnownDay, one: ClearanceFact) -> Reason:
    """The latest letter is from before the pregnancy that runs."""
    what = "these weeks" if day.facts.quiet else "this pregnancy"
    return _reason(
        day,
        GoAheadWord.WAITING,
        "before-start",
        f"{_told(day, one)}: said before {what} began, so it does not count now.",
        "A new letter.",
    )


def overtaken(day: KnownDay, one: ClearanceFact) -> Reason:
    """The latest letter is from before a warning sign or a clinician's no."""
    on = short_day_words(day.overtaken_on(one) or date.max)
    return _reason(
        day,
        GoAheadWord.WAITING,
        "overtaken",
        f"{_told(day, one)}: not said after what happened on {on}, so it does not count after it.",
        f"A new letter, said after {on}.",
    )


def her_word(day: KnownDay, one: ClearanceFact) -> Reason:
    """What only the client has said."""
    return _reason(
        day,
        GoAheadWord.WAITING,
        "her-word",
        f"{_told(day, one)}. No letter seen, no clinician spoken to.",
        "See the letter, or speak to the clinician.",
    )


def no_letter(day: KnownDay) -> Reason:
    """Nothing from a clinician."""
    end = day.last_end
    what = f" since {_end_words(end, quiet=day.facts.quiet)}" if end and not day.begun else ""
    return _reason(
        day,
        GoAheadWord.WAITING,
        "no-letter",
        f"No letter is on file{what}.",
        "A letter from her clinician, or a word with the clinician.",
    )


def run_out(day: KnownDay, one: ClearanceFact) -> Reason:
    """The letter that lasted longest is past its own end, or past the weeks of the policy."""
    last = short_day_words(day.last_day(one) or date.max)
    weeks = day.policy.letter_counts_weeks
    why = "" if one.until else f": without an end of its own a letter counts {weeks} weeks"
    return _reason(
        day,
        GoAheadWord.RUN_OUT,
        "own-end" if one.until else "policy-end",
        f"{_told(day, one)} ran out on {last}{why}.",
        "A new letter.",
    )


def letter_in_force(day: KnownDay, one: ClearanceFact) -> Reason:
    """A letter in force."""
    last = day.last_day(one)
    held = one.until_birth and day.stage.pregnant
    end = until_end_words(quiet=day.facts.quiet) if held else "with no last day"
    until = f"until {short_day_words(last)}" if last else end
    mend = f"after {short_day_words(last)}" if last else "once it ends"
    return _reason(
        day,
        None,
        "letter",
        f"{_told(day, one)}: {_SAID[one.word]}, {until}{_EXAMINED.get(one.examined, '')}.",
        f"A new letter is wanted {mend}.",
    )


def not_examined(day: KnownDay, one: ClearanceFact) -> Reason:
    """After a birth, a letter without an examination behind it, or without knowing of one."""
    what = "no examination" if one.examined == "no" else "an examination is not known"
    behind = "was behind it" if one.examined == "no" else "to be behind it"
    return _reason(
        day,
        GoAheadWord.WAITING,
        "not-examined",
        f"{_told(day, one)}: {what} {behind}.",
        "A letter after an examination, or the clinician’s word that there was one.",
    )


def open_condition(day: KnownDay, one: ConditionFact, effect: Effect) -> Reason:
    """A condition or an answer that stops or holds her, and that no clinician has answered."""
    word = GoAheadWord.ON_HOLD if effect is Effect.STOP else GoAheadWord.WAITING
    named = condition_words(one.code, one.text, quiet=day.facts.quiet)
    return _reason(
        day,
        word,
        f"{effect}-{_ORIGINS.get(one.origin, 'condition')}",
        f"{_heard(one, named)}.",
        f"A clinician’s go-ahead that names this: {named}.",
        source=condition_source(one.code),
    )


def noted(day: KnownDay, one: ConditionFact, answered: bool) -> Reason:
    """A condition that a clinician has answered by name, or that nothing holds her for today."""
    named = condition_words(one.code, one.text, quiet=day.facts.quiet)
    so = "answered by a clinician" if answered else "noted"
    source = condition_source(one.code)
    return _reason(day, None, "noted", f"{_heard(one, named)}; {so}.", source=source)


def _heard(one: ConditionFact, named: str) -> str:
    words = _HEARD[one.origin if one.origin in _ORIGINS else "clinician", one.answer]
    return words.format(short_day_words(one.named_on), named)


def screening(day: KnownDay, one: ScreeningFact) -> Reason:
    """Answers to the health questions that count."""
    told = "every answer no" if one.all_no else "not every answer no"
    last = short_day_words(day.screening_ends(one))
    return _reason(
        day,
        None,
        "screening",
        f"Health questions answered on {short_day_words(one.answered_on)}, {told}.",
        f"The health questions are to be answered again after {last}.",
    )


def screening_old(day: KnownDay, one: ScreeningFact) -> Reason:
    """Answers that are older than the policy's weeks."""
    weeks = day.policy.screening_counts_weeks
    return _reason(
        day,
        GoAheadWord.WAITING,
        "screening-old",
        f"Health questions last answered on {short_day_words(one.answered_on)}: "
        f"answers count {weeks} weeks.",
        "The health questions answered again.",
    )


def no_screening(day: KnownDay) -> Reason:
    """No answers of the time that counts."""
    time = "in these weeks" if day.stage.pregnant else "since the end"
    time = time if day.last_end or day.stage.pregnant else "yet"
    return _reason(
        day,
        GoAheadWord.WAITING,
        "no-screening",
        f"Health questions: not all answered {time}.",
        "The health questions answered, by the form or on a call.",
    )


def no_letter_required(day: KnownDay) -> Reason:
    """Long after the end."""
    weeks = day.policy.letter_wanted_weeks
    return _reason(
        day,
        None,
        "no-letter-required",
        f"Over {weeks} weeks since: no letter is required.",
    )


def screened(day: KnownDay) -> Reason:
    """The practice's own policy: answers instead of a letter."""
    return _reason(
        day,
        None,
        "screened",
        "No letter: the practice takes current answers to the health questions, every one no.",
        "A letter from her clinician would be more.",
    )


def gentle(day: KnownDay, one: PregnancyFact) -> Reason:
    """The first weeks after an end."""
    weeks = day.policy.gentle_weeks
    assert one.ended is not None  # it is the recovery from it
    return _reason(
        day,
        None,
        "gentle",
        f"Under {weeks} weeks since {short_day_words(one.ended)}: gentle recovery at most.",
    )


def caesarean(day: KnownDay, one: PregnancyFact, limits: Limits, until: date) -> Reason:
    """What the recovery of an operation limits."""
    quiet = day.facts.quiet
    what = "; ".join(limit_words(limits, quiet=quiet))
    assert one.ended is not None  # it is the recovery from it
    on, last = short_day_words(one.ended), short_day_words(until)
    if one.birth_mode:
        why = f"After {'the operation' if quiet else 'the caesarean'} of {on}"
    else:
        why = f"How it went on {on} is not recorded, so it counts as an operation"
    mend = "" if one.birth_mode else "Record how it went."
    return _reason(day, None, "caesarean", f"{why}: {what}, until {last}.", mend)


def kept_limit(day: KnownDay, one: ClearanceFact) -> Reason:
    """What was limited by a clearance that lets nobody train, and counts until another's place."""
    what = "; ".join(limit_words(one.limits, quiet=day.facts.quiet))
    until = f"until {short_day_words(one.until)}" if one.until else "until a letter takes its place"
    return _reason(day, None, "limit", f"{_told(day, one)} still limits, {until}: {what}.")


def not_checked(day: KnownDay, what: str) -> Reason:
    """What the practice has switched off."""
    return _reason(day, None, "not-checked", f"Not checked: {what}.", severity=Severity.CAUTION)


def _reason(
    day: KnownDay,
    word: GoAheadWord | None,
    kind: str,
    text: str,
    mend: str = "",
    *,
    source: str = "",
    severity: Severity = Severity.NOTE,
) -> Reason:
    weight = _SEVERITY[word] if word else severity
    if source and day.facts.quiet and says_too_much(source):
        source = source_of(kind)
    return Reason(Finding(kind, weight, text, source or _source(day, kind)), mend)


def _source(day: KnownDay, kind: str) -> str:
    """Where a rule comes from; for a quiet client without words that her pages do not hold."""
    return unless_quiet(source_of(kind), quiet=day.facts.quiet, instead="policy of the practice")


def _told(day: KnownDay, one: ClearanceFact) -> str:
    """ "Letter of 3 November 2026 from Maeve Lorne (midwife)"."""
    quiet = day.facts.quiet
    kind = unless_quiet(one.clinician_kind, quiet=quiet) or "clinician"
    name = unless_quiet(one.clinician, quiet=quiet)
    who = f"{name} ({kind})" if name else f"her {kind}"
    words = _HOW[one.known_by].format(short_day_words(one.said_on), who)
    return words[:1].upper() + words[1:]


def _end_words(one: PregnancyFact, *, quiet: bool) -> str:
    if quiet:
        return "the end"
    return "the birth" if one.ending is Ending.BIRTH else "the end of the pregnancy"
