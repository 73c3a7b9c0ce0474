"""The reasons behind a go-ahead as sentences, each with its source and what would mend it. Pure.

For a quiet client no sentence names a baby, a birth or a due date; what somebody typed is left
out where it would.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy, SignFact
from clients.rules.go_ahead_words import until_end_words
from clients.rules.known_day import KnownDay
from clients.rules.warning_signs import sign_source, sign_words
from clients.rules.words import short_day_words, unless_quiet, words_for
from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Finding, GoAheadWord, Severity

_SEVERITY = {
    GoAheadWord.ON_HOLD: Severity.STOP,
    GoAheadWord.WAITING: Severity.WAIT,
    GoAheadWord.RUN_OUT: Severity.WAIT,
    GoAheadWord.LETTER_ON_FILE: Severity.NOTE,
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


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: the word it asks for, the finding that pages show, and what would mend it."""

    word: GoAheadWord
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


def past_forty_weeks(day: KnownDay) -> Reason:
    """Past the due date with no end recorded: has she given birth?"""
    quiet = day.facts.quiet
    return _reason(
        day,
        GoAheadWord.WAITING,
        "past-forty-weeks",
        f"{words_for(True).asks}." if quiet else "Past the due date, no birth recorded.",
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
        f"{_told(day, one)}: said before what happened on {on}, so it does not count after it.",
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


def letter_on_file(day: KnownDay, one: ClearanceFact) -> Reason:
    """A letter in force."""
    last = day.last_day(one)
    until = f"until {short_day_words(last)}" if last else until_end_words(quiet=day.facts.quiet)
    mend = f"after {short_day_words(last)}" if last else "once it ends"
    return _reason(
        day,
        GoAheadWord.LETTER_ON_FILE,
        "letter",
        f"{_told(day, one)}: {_SAID[one.word]}, {until}{_EXAMINED.get(one.examined, '')}.",
        f"A new letter is wanted {mend}.",
    )


def not_checked(day: KnownDay) -> Reason:
    """What a letter on file does not tell."""
    return _reason(
        day,
        GoAheadWord.LETTER_ON_FILE,
        "not-checked",
        "Not checked: answers to health questions, conditions that matter from some week on, "
        "and whether an examination was wanted.",
    )


def _reason(
    day: KnownDay, word: GoAheadWord, kind: str, text: str, mend: str = "", source: str = ""
) -> Reason:
    said = Finding(kind, _SEVERITY[word], text, source or day.policy.sources[kind])
    return Reason(word, said, mend)


def _told(day: KnownDay, one: ClearanceFact) -> str:
    """ "Letter of 3 November 2026 from Maeve Lorne (midwife)"."""
    quiet = day.facts.quiet
    kind = unless_quiet(one.clinician_kind, quiet=quiet) or "clinician"
    name = unless_quiet(one.clinician, quiet=quiet)
    who = f"{name} ({kind})" if name else f"her {kind}"
    words = _HOW[one.known_by].format(short_day_words(one.said_on), who)
    return words[:1].upper() + words[1:]


def _end_words(one: PregnancyDates, *, quiet: bool) -> str:
    if quiet:
        return "the end"
    return "the birth" if one.ending is Ending.BIRTH else "the end of the pregnancy"
