"""The tables of the go-ahead, row by row, and that the reader of their words is strict."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from clients.rules.facts import ClientFacts
from clients.rules.go_ahead import go_ahead, may_except, spans, strictest, word_on
from clients.rules.policy import Policies
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.values import GoAhead, GoAheadWord, Limits
from tests.clients.table_words import NotUnderstood, Then, limits, read, read_then

HERE = Path(__file__).parent
TABLE: dict[str, dict[str, Any]] = tomllib.loads((HERE / "go_ahead_table.toml").read_text("utf-8"))
NEVER: dict[str, dict[str, Any]] = tomllib.loads(
    (HERE / "never_a_yes_table.toml").read_text("utf-8")
)
# Named in what the work was to show: these stories are never to drop out of the table.
MUST_BE_THERE = {
    "three-weeks-past-due",
    "bleeding-typed-form-closed",
    "monday-and-tuesday",
    "twins",
    "discharge-note-of-the-birth-s-day",
    "gp-by-phone",
    "later-narrower-letter",
    "caesarean-then-an-early-loss",
    "screening-switched-off",
    "learned-today-of-last-week",
}


@dataclass(frozen=True)
class Case:
    """One day of one row."""

    row: str
    facts: ClientFacts
    policies: Policies
    then: Then

    def answer(self, facts: ClientFacts | None = None) -> GoAhead:
        """What the rules say, the stricter where there are two days."""
        first, *others = (
            go_ahead(facts or self.facts, on, self.policies, self.then.known)
            for on in self.then.days
        )
        return strictest(first, others[0]) if others else first


def cases(table: dict[str, dict[str, Any]], key: str) -> Iterator[Any]:
    for name, row in table.items():
        told = read(row["given"])
        made = Policies.of(told.policies)
        for line in row[key]:
            then = read_then(line if key == "then" else f"{line}: no yes")
            yield pytest.param(Case(name, told.facts, made, then), id=f"{name}: {line}")


EVERY, NEVERS = list(cases(TABLE, "then")), list(cases(NEVER, "never"))


def faults(then: Then, found: GoAhead) -> list[str]:
    """Where an answer differs from what the row says."""
    kinds = {one.kind for one in found.reasons}
    unchecked = " | ".join(found.unchecked).lower()
    wrong = {
        f"{found.word} instead of {then.word}": str(found.word) != then.word,
        f"{then.because} not all among {kinds}": not set(then.because) <= kinds,
        f"{then.never_because} among {kinds}": bool(set(then.never_because) & kinds),
        f"limits {found.limits}": then.limits is not None and found.limits != then.limits,
        f"until {found.until}": isinstance(then.until, date) and found.until != then.until,
        "not until the birth": then.until == "the birth" and not found.until_end,
        f"unchecked: {unchecked}": not all(one in unchecked for one in then.unchecked),
        f"unchecked although nothing is off: {unchecked}": bool(unchecked) and not then.unchecked,
        "exception": then.exception is not None and may_except(found) is not then.exception,
    }
    return [fault for fault, is_so in wrong.items() if is_so]


def flaws(found: GoAhead) -> list[str]:
    """What no answer may lack, whatever the facts."""
    wrong = {
        "no reason": not found.reasons,
        "a reason without words or source": any(
            not one.reason.strip() or not one.source.strip() for one in found.reasons
        ),
        "nothing mends it": not found.word.may_train and not found.mend.strip(),
        "limits with a plain yes": found.word is GoAheadWord.YES and found.limits != Limits(),
        "no limits with a limited yes": found.word is GoAheadWord.YES_WITH_LIMITS
        and found.limits == Limits(),
    }
    return [fault for fault, is_so in wrong.items() if is_so]


@pytest.mark.parametrize("case", EVERY)
def test_what_comes_out_on_the_day(case: Case) -> None:
    found = case.answer()
    assert faults(case.then, found) + flaws(found) == []


@pytest.mark.parametrize("case", NEVERS)
def test_no_word_lets_her_train(case: Case) -> None:
    found = case.answer()
    assert (found.word.may_train, flaws(found)) == (False, []), found.word


@pytest.mark.parametrize("case", [*EVERY, *NEVERS])
def test_quiet_changes_words_and_no_answer(case: Case) -> None:
    plain, quiet = (case.answer(replace(case.facts, quiet=is_so)) for is_so in (False, True))
    assert (plain.word, plain.limits, plain.since, plain.until) == (
        quiet.word, quiet.limits, quiet.since, quiet.until,
    )  # fmt: skip
    assert [one.kind for one in plain.reasons] == [one.kind for one in quiet.reasons]
    said = " ".join(
        [quiet.mend, *quiet.unchecked, *(f"{one.reason} {one.source}" for one in quiet.reasons)]
    ).lower()
    assert [word for word in NEVER_IF_QUIET if word in said] == []


@pytest.mark.parametrize("case", [one for one in EVERY if len(one.values[0].then.days) == 1])
def test_the_word_alone_and_the_spans_agree_with_the_answer(case: Case) -> None:
    on, known = case.then.days[0], case.then.known
    assert word_on(case.facts, on, case.policies, known) == case.answer().word
    if known is None:
        span = spans(case.facts, on, on, case.policies)
        assert [(one.first, one.last, one.word) for one in span] == [(on, on, case.answer().word)]


def test_the_table_is_long_enough_and_holds_what_it_must() -> None:
    assert set(TABLE) >= MUST_BE_THERE
    assert len(TABLE) >= 60
    assert all(set(row) == {"words", "given", "then", "source"} for row in TABLE.values())
    assert all(set(row) == {"words", "given", "never"} for row in NEVER.values())
    assert all(row["words"] and row.get("source", "-") for row in (TABLE | NEVER).values())
    assert set(TABLE) & set(NEVER) == set()


def test_every_word_of_the_go_ahead_comes_out_in_the_table() -> None:
    assert {one.values[0].then.word for one in EVERY} == {str(word) for word in GoAheadWord}


@pytest.mark.parametrize(
    "line",
    [
        "",
        "due soon",
        "due 31 February 2027",
        "due 8 March 2027; quadruplets",
        "letter 2 November 2026; until the end of time",
        "letter 2 November 2026; limits no jumping",
        "letter 2 November 2026; answers B",
        "letter 2 November 2026; replaces A",
        "sign sneezing 2 November 2026",
        "clinician names boredom 2 November 2026",
        "answer no to bleeding 2 November 2026",
        "screened in pregnancy 2 November 2026",
        "screened in pregnancy 2 November 2026; all no; not complete",
        "born 10 March 2025",
        "policy from 2 November 2026; sign off",
    ],
)
def test_a_line_that_says_something_unknown_is_refused(line: str) -> None:
    with pytest.raises(NotUnderstood):
        read([line])


@pytest.mark.parametrize(
    "line",
    [
        "yes",
        "soon: yes",
        "1 December 2026: yes; perhaps",
        "1 December 2026: yes, with limits",
        "1 December 2026: yes; until Christmas",
    ],
)
def test_an_outcome_that_says_something_unknown_is_refused(line: str) -> None:
    with pytest.raises(NotUnderstood):
        read_then(line)


def test_limits_are_read_whole() -> None:
    assert limits("no impact, lifting 8 kg, effort 6, heart rate 140, “sit to rest”") == Limits(
        no_impact=True,
        lift_at_most_kg=8,
        effort_at_most=6,
        heart_rate_at_most=140,
        others=("sit to rest",),
    )
    assert limits("none") == Limits()
