"""What is refused of one pregnancy's dates, and of several together."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients.rules.pregnancies import SURGICAL, TEARS, PregnancyFacts, problems
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.dates import Ending, PregnancyDates

TODAY = date(2026, 12, 3)


def days(n: int) -> date:
    return TODAY + timedelta(days=n)


def running(due: int | None) -> PregnancyFacts:
    return PregnancyFacts(due=None if due is None else days(due))


def over(ended: int | None, due: int | None = None, ending: str = "birth") -> PregnancyFacts:
    return PregnancyFacts(
        due=None if due is None else days(due),
        ended=None if ended is None else days(ended),
        ending=ending,
    )


ONE = [
    # given: days from today                 then: the field, and words of the sentence
    ("due today plus 40 weeks", running(280), None),
    ("due a day later than that", running(281), ("due", "more than 40 weeks ahead")),
    ("due date not known", running(None), None),
    ("due long ago", running(-300), None),
    ("due a day longer ago", running(-301), ("due", "over 300 days ago")),
    ("ended today", over(0), None),
    ("ended tomorrow", over(1), ("ended", "not come yet")),
    ("ended, day missing", over(None), ("ended", "on which day")),
    ("a day, ending missing", over(-5, ending=""), ("ending", "how it ended")),
    ("ended on the due date", over(-30, due=-30), None),
    ("ended about conception", over(-40, due=226), None),
    ("ended the day before", over(-41, due=226), ("ended", "it began about")),
    ("ended at 45 weeks", over(-30, due=-65), None),
    ("ended a day later", over(-30, due=-66), ("ended", "after 45 weeks")),
    ("ended 50 years ago", over(-50 * 366), ("ended", "check the year")),
]


@pytest.mark.parametrize(("given", "facts", "then"), ONE, ids=[row[0] for row in ONE])
def test_one_pregnancy(given: str, facts: PregnancyFacts, then: tuple[str, str] | None) -> None:
    found = problems(facts, others=[], today=TODAY)
    assert [problem.field for problem in found] == ([then[0]] if then else [])
    assert not then or then[1] in found[0].sentence


def test_a_kind_of_birth_belongs_to_a_birth() -> None:
    facts = PregnancyFacts(ended=days(-5), ending="loss", birth_mode="vaginal")
    assert [one.field for one in problems(facts, others=[], today=TODAY)] == ["ending"]


BIRTH = {"ended": days(-5), "ending": "birth"}
LOSS = {"ended": days(-5), "ending": "loss"}
ANSWERS = [
    # given                                              then: the field, or nothing
    ({**BIRTH, "tear": "second", "wound": "closed, dry"}, None),
    ({**BIRTH, "birth_mode": "caesarean", "wound": "sore"}, None),
    ({**LOSS, "gestation": "9w0d", "surgical": "yes"}, None),
    ({**LOSS, "gestation": "12w", "surgical": "no"}, None),
    ({**LOSS, "gestation": "45w0d"}, None),
    ({**LOSS, "gestation": "45w1d"}, "gestation"),
    ({**LOSS, "gestation": "9w7d"}, "gestation"),
    ({**LOSS, "gestation": "nine"}, "gestation"),
    ({**LOSS, "gestation": "9w0d\n"}, "gestation"),
    ({**LOSS, "surgical": "perhaps"}, "surgical"),
    ({**LOSS, "tear": "second"}, "ending"),
    ({**LOSS, "wound": "sore"}, "ending"),
    ({**BIRTH, "gestation": "39w0d"}, "ending"),
    ({**BIRTH, "surgical": "yes"}, "ending"),
    ({**BIRTH, "tear": "5th"}, "tear"),
    ({**BIRTH, "birth_mode": "by stork"}, "birth_mode"),
    ({"due": days(80), "gestation": "9w0d"}, "ending"),
    ({"due": days(80), "tear": "none"}, "ending"),
    ({"due": days(80), "expected": 3}, None),
    ({"due": days(80), "expected": 0}, "expected"),
    ({"due": days(80), "expected": 9}, "expected"),
]


@pytest.mark.parametrize(("given", "field"), ANSWERS)
def test_what_is_told_of_an_end_belongs_to_that_kind_of_end(
    given: dict[str, Any], field: str | None
) -> None:
    found = problems(PregnancyFacts(**given), others=[], today=TODAY)
    assert [one.field for one in found] == ([field] if field else [])
    assert [word for word in NEVER_IF_QUIET for one in found if word in one.sentence.lower()] == []


def test_the_tears_are_told_in_words_that_a_quiet_page_may_hold() -> None:
    words = " ".join((*TEARS, *TEARS.values(), *SURGICAL.values())).lower()
    assert [word for word in NEVER_IF_QUIET if word in words] == []


EARLIER = PregnancyDates(due=days(-400), ended=days(-400), ending=Ending.BIRTH)
OPEN = PregnancyDates(due=days(60))
NO_DATES = PregnancyDates(ending=Ending.BIRTH)

TWO = [
    # given            beside            then
    ("a second, conceived the day after the first ended", running(-133), [EARLIER], None),
    ("a second, conceived on that day", running(-134), [EARLIER], ("due", "check both")),
    ("a second while the first runs", running(200), [OPEN], ("due", "no end recorded")),
    ("an old birth beside a running one", over(-700), [OPEN], None),
    ("a birth last month beside a running one", over(-30), [OPEN], ("ended", "check both")),
    ("two births a month apart, no due dates", over(-370), [EARLIER], None),
    ("a birth with a due date a month later", over(-370, -370), [EARLIER], ("ended", "check both")),
    ("beside one of which nothing is known", running(200), [NO_DATES], None),
]


@pytest.mark.parametrize(("given", "facts", "others", "then"), TWO, ids=[row[0] for row in TWO])
def test_two_pregnancies(
    given: str,
    facts: PregnancyFacts,
    others: list[PregnancyDates],
    then: tuple[str, str] | None,
) -> None:
    found = problems(facts, others=others, today=TODAY)
    assert [problem.field for problem in found] == ([then[0]] if then else [])
    assert not then or then[1] in found[0].sentence


def test_no_sentence_says_what_a_quiet_page_may_not() -> None:
    said = [one.sentence for _, facts, _ in ONE for one in problems(facts, others=[], today=TODAY)]
    said += [
        one.sentence
        for _, facts, others, _ in TWO
        for one in problems(facts, others=others, today=TODAY)
    ]
    assert len(said) == len([row for row in (*ONE, *TWO) if row[-1]])
    assert [word for word in NEVER_IF_QUIET if word in " ".join(said).lower()] == []
