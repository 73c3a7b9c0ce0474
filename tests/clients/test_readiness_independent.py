"""What must never read "nothing missing" for a return to impact, and what may: as stories.

The table names its sources. Missing facts are not known, and never fine: that is the practice's
own rule, and the strictest published number counts where they differ.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from clients.models import MeasuringPolicy
from clients.queries.readiness import readiness_of
from clients.rules.measuring_policy import CONSENSUS, GUIDELINE, OWN, POLICIES
from clients.rules.readiness import Readiness
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.models import Practice
from tests.clients.readiness_words import TODAY, client_of, in_force, told
from tests.clients.table_words import NotUnderstood

TABLE: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "readiness_table_independent.toml").read_text("utf-8")
)
CODES = {"guideline": GUIDELINE, "consensus": CONSENSUS, "own": OWN}
NAMES = tuple(CODES)


def policies(text: str) -> list[str]:
    """The policies that a row names; ValueError for one that there is not."""
    found = [] if not text else list(NAMES) if text == "all" else text.split(", ")
    if set(found) - set(NAMES):
        raise ValueError(f"no policy: {text!r}")
    return found


def rows(which: str, only_one: bool = False) -> list[Any]:
    return [
        pytest.param(row, policy, id=f"{name} under {policy}")
        for name, row in TABLE.items()
        for policy in policies(row.get(which, ""))
        if not only_one or row.get("one")
    ]


def found(row: dict[str, Any], policy: str) -> Readiness:
    story = told(row["day"], row.get("changes", []))
    in_force(CODES[policy], story)
    return readiness_of(client_of(story), TODAY)


def nothing_missing(answer: Readiness) -> bool:
    """What a coach would read as a yes: in the list, or in the sentence."""
    return answer.missing == () or "nothing missing" in answer.sentence.lower()


@pytest.mark.parametrize(("row", "policy"), rows("never"))
def test_never_nothing_missing(practice: Practice, row: dict[str, Any], policy: str) -> None:
    answer = found(row, policy)
    assert not nothing_missing(answer), answer.sentence
    assert [one for one in answer.missing if not one.reason.strip() or not one.source] == []


@pytest.mark.parametrize(("row", "policy"), rows("ok"))
def test_nothing_missing(practice: Practice, row: dict[str, Any], policy: str) -> None:
    answer = found(row, policy)
    assert [one.reason for one in answer.missing] == []
    assert "nothing missing" in answer.sentence.lower()


@pytest.mark.parametrize(("row", "policy"), rows("never", only_one=True))
def test_eleven_of_twelve_names_the_one(
    practice: Practice, row: dict[str, Any], policy: str
) -> None:
    assert len(found(row, policy).missing) == 1


@pytest.mark.parametrize("policy", NAMES)
def test_after_a_loss_no_word_of_it(practice: Practice, policy: str) -> None:
    for day in (20, 60, 90):
        story = told(day, ["lost", "leaking yes", "no letter", "hop not asked"])
        if day == 20:
            in_force(CODES[policy], story)
        client = client_of(story)
        client.quiet = True
        client.save()
        answer = readiness_of(client, TODAY)
        said = " ".join(
            [answer.sentence, *(f"{one.reason} {one.source}" for one in answer.missing)]
        )
        assert [word for word in NEVER_IF_QUIET if word in said.lower()] == []


def test_every_answer_names_the_policy_in_force(practice: Practice) -> None:
    client = client_of(told(90, []))
    words = []
    for policy in NAMES:
        MeasuringPolicy.objects.all().delete()
        in_force(CODES[policy], told(90, []))
        words.append(readiness_of(client, TODAY).policy_words)
    assert len(set(words)) == 3


def test_the_table_is_long_enough_and_names_the_policies_that_there_are() -> None:
    assert len(TABLE) >= 40
    assert set(CODES.values()) == set(POLICIES)
    known = {"words", "day", "changes", "never", "ok", "one"}
    assert {key for row in TABLE.values() for key in row} <= known
    assert [name for name, row in TABLE.items() if not (row.get("ok") or row.get("never"))] == []


def test_a_change_that_nobody_understands_is_refused() -> None:
    for line in ("heavyness yes", "hopp 9 left", "letter from a friend", "own gate soon"):
        with pytest.raises(NotUnderstood):
            told(90, [line])
