"""The data of assessments and tests: sound as they are, and broken ones refused by their row."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest

from clients.rules.impact_tests import impact_tests, read_tests
from clients.rules.measuring import default_sites, read_scheme, scheme
from clients.rules.words import says_too_much

ASSESSMENT = tomllib.loads(Path("clients/data/assessment.toml").read_text())
TESTS = tomllib.loads(Path("clients/data/impact_tests.toml").read_text())


def broken(data: dict[str, Any], kind: str, changed: dict[str, Any]) -> dict[str, Any]:
    """The data with the first row of a kind changed."""
    found = copy.deepcopy(data)
    found[kind][0] |= changed
    return found


BROKEN = [
    # kind, what is changed in its first row, the row that is named
    ("site", {"code": ""}, "site ''"),
    ("site", {"code": "above-50"}, "site 'above-50'"),
    ("site", {"code": "navel"}, "site 'navel'"),
    ("site", {"words": ""}, "site 'xiphoid'"),
    ("site", {"short": ""}, "site 'xiphoid'"),
    ("site", {"source": ""}, "site 'xiphoid'"),
    ("site", {"words": "above the bump"}, "site 'xiphoid'"),
    ("state", {"code": "lift"}, "state 'lift'"),
    ("state", {"code": "sitting"}, "state 'rest and lift'"),
    ("method", {"unit": "cm"}, "method 'fingers'"),
    ("method", {"words": ""}, "method 'fingers'"),
    ("position", {"words": ""}, "position 'crook'"),
    ("who", {"code": "friend"}, "who 'who'"),
    ("answer", {"ask": ""}, "answer 'doming'"),
    ("answer", {"finding": ""}, "answer 'doming'"),
    ("answer", {"phase": "before"}, "answer 'doming'"),
    ("answer", {"ask": "Since the birth"}, "answer 'doming'"),
    ("answer", {"code": "leaking"}, "answer 'leaking'"),
    ("tension", {"words": ""}, "tension 'firm'"),
    ("effort", {"at": 1}, "effort '0 to 10'"),
    ("effort", {"at": 11}, "effort '0 to 10'"),
]


@pytest.mark.parametrize(("kind", "changed", "named"), BROKEN, ids=str)
def test_a_broken_row_is_refused_and_named(kind: str, changed: dict[str, Any], named: str) -> None:
    with pytest.raises(ValueError, match=f"the {named} is not sound"):
        read_scheme(broken(ASSESSMENT, kind, changed))


def test_a_word_of_effort_left_out_is_refused() -> None:
    data = copy.deepcopy(ASSESSMENT)
    del data["effort"][4]
    with pytest.raises(ValueError, match="effort '0 to 10' is not sound"):
        read_scheme(data)


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"code": "hop"}, "hop"),
        ({"code": "long-walk"}, "long-walk"),
        ({"code": ""}, ""),
        ({"kind": "speed"}, "walk"),
        ({"unit": "km"}, "walk"),
        ({"amount": 0}, "walk"),
        ({"words": ""}, "walk"),
        ({"source": ""}, "walk"),
    ],
    ids=str,
)
def test_a_broken_test_is_refused_and_named(changed: dict[str, Any], named: str) -> None:
    with pytest.raises(ValueError, match=f"the test '{named}' is not sound"):
        read_tests(broken(TESTS, "test", changed))


def test_a_column_that_nobody_knows_is_refused() -> None:
    with pytest.raises(TypeError, match="weight"):
        read_tests(broken(TESTS, "test", {"weight": 1}))


def test_sites_come_from_above_to_below() -> None:
    heights = [one.at_mm for one in scheme().sites.values()]
    assert heights == sorted(heights, reverse=True)
    assert default_sites() == ("above45", "navel", "below45")


def test_fingers_are_the_one_method_that_is_not_in_millimetres() -> None:
    assert {code: one.unit for code, one in scheme().methods.items()} == {
        "fingers": "fingers", "calliper": "mm", "tape": "mm", "ultrasound": "mm",
    }  # fmt: skip


def test_doming_is_seen_and_everything_else_is_felt() -> None:
    assert [code for code, one in scheme().answers.items() if not one.symptom] == ["doming"]
    assert [code for code, one in scheme().answers.items() if one.phase] == ["bleeding"]


def test_no_code_or_word_is_one_that_a_quiet_page_may_not_hold() -> None:
    known = scheme()
    words = [
        *known.sites, *known.methods, *known.answers, *known.tension, *known.effort,
        *(one.words for one in known.sites.values()), *(one.ask for one in known.answers.values()),
        *(one.finding for one in known.answers.values()), *known.positions.values(),
        *known.who.values(), *known.tension.values(), *impact_tests(),
        *(one.words for one in impact_tests().values()),
    ]  # fmt: skip
    assert [one for one in words if says_too_much(one)] == []


def test_what_a_test_asks_and_under_which_codes_it_is_kept() -> None:
    hop, walk = impact_tests()["hop"], impact_tests()["walk"]
    assert (hop.asks, walk.asks) == ("10 times each leg", "30 min")
    assert walk.fields == ("test-walk-amount", "test-walk-symptom", "test-walk-offered")
    assert hop.fields == (
        "test-hop-left", "test-hop-right", "test-hop-symptom", "test-hop-offered",
    )  # fmt: skip


def test_both_feet_leave_the_ground_in_three_tests() -> None:
    """A limit of no impact takes these off the list, and no others."""
    assert [code for code, one in impact_tests().items() if one.impact] == ["jog", "bounds", "hop"]
