"""What is missing for a return to impact, in sentences with source and what mends it. Pure.

No sentence names a baby, a birth or a due date where she is quiet.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from clients.rules.findings import OpenFinding
from clients.rules.go_ahead_words import HIDDEN_LIMIT
from clients.rules.impact_tests import Result
from clients.rules.measuring import scheme
from clients.rules.measuring_policy import GUIDELINE
from clients.rules.policy import source_of
from clients.rules.readiness_policy import ReadinessPolicy, rules
from clients.rules.readiness_tests import Outcome
from clients.rules.words import short_day_words, unless_quiet, words_for
from coach.scheduling.values import Finding, GoAhead, GoAheadWord, Severity, Stage

_MONTHS = 3
_TESTS = "tests"
FAILS = ("leaking", "heaviness", "pain")


@dataclass(frozen=True, slots=True)
class Missing(Finding):
    """One thing that is missing, and what would mend it."""

    mend: str = ""


def stage(found: Stage, *, quiet: bool) -> Missing:
    """She is pregnant, past her due date, or it is not known where she is."""
    if found is Stage.PAST_DUE:
        return _missing("stage", f"{words_for(quiet).asks}.", "Ask, and record how it ended.")
    if found.pregnant:
        why = "Not asked at this stage" if quiet else "She is pregnant"
        return _missing("stage", f"{why}.", "Nothing before the end.")
    if found is Stage.UNKNOWN:
        return _missing("stage", "It is not known where she is.", "Complete her dates.")
    return _missing("stage", "No end is recorded with its day.", "Record the day it ended.")


def time(policy: ReadinessPolicy, end: date, on: date) -> Missing:
    """The rest since the latest end is not over."""
    opens = end + timedelta(days=policy.rest_days)
    passed = _days((on - end).days)
    rest = f"{policy.rest_days // 7} weeks since {short_day_words(end)} are over"
    text = f"{rest} on {short_day_words(opens)} (day {policy.rest_days}); {passed} have passed."
    if policy.code == GUIDELINE:
        text += f" “{_MONTHS} months” would be {_months_words(end, opens)}."
    return _missing("time", text, f"Wait until {short_day_words(opens)}.", policy.source)


def operation(end: date, weeks: int, *, told: bool, by_rule: bool, quiet: bool) -> Missing:
    """The recovery of an operation, or of one that nobody has ruled out."""
    on, until = short_day_words(end), short_day_words(end + timedelta(weeks=weeks))
    what = "operation" if quiet else "caesarean"
    why = f"{what.capitalize()} of {on}"
    if not told:
        why = f"How it went on {on} is not recorded, so it counts as an operation"
    own = rules()["operation"].source
    source = unless_quiet(source_of("caesarean"), quiet=quiet, instead=own) if by_rule else own
    mend = f"Wait until {until}." if told else "Record how it went."
    return _missing(
        "operation", f"{why}: no impact for {weeks} weeks, until {until}.", mend, source
    )


def go_ahead(found: GoAhead) -> Missing:
    """A word that does not let her train."""
    on_hold = found.word is GoAheadWord.ON_HOLD
    severity = Severity.STOP if on_hold else Severity.WAIT
    mend = found.mend or "Her clinician’s go-ahead."
    text = f"Her go-ahead says “{found.word}”."
    return Missing("go-ahead", severity, text, rules()["go-ahead"].source, mend)


def limit() -> Missing:
    """A clinician's limit."""
    mend = "A letter that takes the place of the one that limits her."
    return _missing("limit", "She is limited to no impact.", mend)


def limit_in_words(others: Iterable[str], *, quiet: bool) -> Missing:
    """Limits that a clinician put into words: no rule can tell whether impact is in them."""
    shown = (unless_quiet(one, quiet=quiet, instead=HIDDEN_LIMIT) for one in others)
    text = f"Limited in words: {'; '.join(shown)}. Whether that rules out impact is not known."
    mend = "Ask her clinician; a letter that takes its place says it."
    return _missing("limit-in-words", text, mend)


def gentle() -> Missing:
    """The first weeks, or a clinician's limit."""
    mend = "Wait for the end of these weeks, or a letter that names more."
    return _missing("gentle", "She is limited to gentle recovery work.", mend)


def test(one: Outcome, policy: ReadinessPolicy, *, felt: OpenFinding | None) -> Missing:
    """A test that is not passed, or has no result that counts."""
    kind, mend = f"test-{one.test.code}", f"Do it: {one.asks}, without a symptom."
    if one.result is Result.NOT_ASKED:
        text = f"{one.test.words}: no result within {policy.tests_days} days"
        if felt:
            text += f", and symptoms in it on {short_day_words(felt.day)}"
    else:
        text = f"{one.test.words}: {one.told}"
        mend = mend.replace("Do it", "Do it again")
    return _missing(kind, f"{text}.", mend, one.test.source)


def open_symptom(found: OpenFinding) -> Missing:
    """A symptom that she last said yes to."""
    since = f", since {short_day_words(found.since)}" if found.since != found.day else ""
    text = f"{_capital(found.words)} on {short_day_words(found.day)}{since}, and no “no” since."
    mend = "Ask again once it is gone; where it stays, her clinician or pelvic-health physio."
    return _missing(found.code, text, mend, _source_of_symptom(found.code))


def with_tests(code: str, *, yes: Sequence[date], never: Sequence[date]) -> Missing:
    """A symptom on the day of the tests, or one that was not asked that day."""
    name = _capital(scheme().answers[code].finding)
    if yes:
        text, mend = f"{name} on {_list(yes)}, the day of the tests.", "Do the tests again without."
    else:
        text = f"{name}: not asked on {_list(never)}, the day of the tests."
        mend = "Ask with the tests, and write down what she says."
    return _missing(code, text, mend, _source_of_symptom(code))


def felt_after(day: date | None, found: OpenFinding | None) -> Missing:
    """Symptoms the day after the tests."""
    of = f"Symptoms the day after the tests of {short_day_words(day)}" if day else ""
    text = of or f"Symptoms the day after tests, told on {short_day_words(found.day)}"  # type: ignore[union-attr]  # one of the two is there
    mend = "Do less, and test again once a day after passes without."
    return _missing("next-day", f"{text}.", mend)


def never_asked_after(days: Sequence[date], on: date) -> Missing:
    """Nobody asked how she was the day after; on the day itself nobody can have."""
    if max(days) >= on and len(set(days)) == 1:
        return _missing("next-day", "The tests are of today.", "Ask tomorrow how she is.")
    text = f"The day after the tests of {_list(days)}: not asked."
    return _missing("next-day", text, "Ask her whether she had symptoms.")


def bleeding_not_asked() -> Missing:
    """Beyond eight weeks and nobody asked."""
    return _missing("bleeding", "Bleeding: not asked since the end.", "Ask her.")


def bleeds(day: date) -> Missing:
    """Bleeding beyond eight weeks."""
    text = f"Bleeding on {short_day_words(day)}, beyond eight weeks, that is not a period."
    mend = "Refer her to her clinician; ask again afterwards."
    return Missing("bleeding", Severity.STOP, text, rules()["bleeding"].source, mend)


def bleeding_long_ago(day: date, was_no: bool) -> Missing:
    """An answer that is too old, or a yes from the first weeks."""
    said = "no bleeding" if was_no else "bleeding"
    text = f"Last asked about bleeding on {short_day_words(day)} ({said}), not since."
    return _missing("bleeding", text, "Ask again.")


def individual(policy: ReadinessPolicy) -> Finding:
    """A policy that names no week after the rest."""
    text = "No week is named from here on: the time is her own, and the load rises step by step."
    return Finding("individual", Severity.CAUTION, text, policy.source)


def months(policy: ReadinessPolicy, end: date, on: date) -> Iterator[Finding]:
    """Twelve weeks are over and three calendar months are not."""
    opens = end + timedelta(days=policy.rest_days)
    if policy.code == GUIDELINE and on < _after_months(end):
        text = f"12 weeks are over; “{_MONTHS} months” would be {_months_words(end, opens)}."
        yield Finding("months", Severity.CAUTION, text, policy.source)


def bleeds_early(day: date) -> Finding:
    """Bleeding within eight weeks."""
    text = f"Bleeding on {short_day_words(day)}: beyond eight weeks it is a reason to refer."
    return Finding("bleeding", Severity.CAUTION, text, rules()["bleeding"].source)


def in_lines(
    missing: Iterable[Missing], tests: Iterable[Outcome], policy: ReadinessPolicy
) -> tuple[Missing, ...]:
    """The same with all tests that have no result in one line, where they are several."""
    none = [one for one in tests if one.result is Result.NOT_ASKED]
    kinds = {f"test-{one.test.code}" for one in none}
    if len(none) < 2 or not any(one.kind in kinds for one in missing):
        return tuple(missing)
    named = "; ".join(one.name for one in none)
    text = f"No result within {policy.tests_days} days in {len(none)} tests: {named}."
    line = _missing(_TESTS, text, "Do them, and ask about symptoms in each.")
    found: list[Missing] = []
    for one in missing:
        if one.kind not in kinds:
            found.append(one)
        elif line not in found:
            found.append(line)
    return tuple(found)


def _missing(kind: str, text: str, mend: str, source: str = "") -> Missing:
    return Missing(kind, Severity.WAIT, text, source or rules()[kind].source, mend)


def _source_of_symptom(code: str) -> str:
    """Those that the guideline names as fails, and the others."""
    return rules()["symptoms" if code in {*FAILS} or code.startswith("felt-") else "others"].source


def _months_words(end: date, opens: date) -> str:
    """ "10 June 2025, 8 days later"."""
    over = _after_months(end)
    return f"{short_day_words(over)}, {_days((over - opens).days)} later"


def _after_months(day: date) -> date:
    """The same day three months on, or the last of that month."""
    year, month = divmod(day.month - 1 + _MONTHS, 12)
    year, month = day.year + year, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _days(n: int) -> str:
    return f"{n} day{'' if n == 1 else 's'}"


def _list(days: Iterable[date]) -> str:
    return ", ".join(short_day_words(day) for day in sorted(set(days)))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
