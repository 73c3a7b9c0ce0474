"""The data behind the go-ahead: the list of warning signs and the policy, checked when loaded."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import Any

import pytest

from clients.rules import policy as policies
from clients.rules import warning_signs as signs
from clients.rules.words import NEVER_IF_QUIET
from coach.scheduling.values import Stage

CDC = "CDC urgent maternal warning signs"
AWHONN = "AWHONN warning signs after discharge"
ACOG = "ACOG Committee Opinion 804 (2020)"


def having(source: str) -> set[str]:
    return {sign.code for sign in signs.warning_signs().values() if source in sign.sources}


def test_the_ten_signs_of_acog_804_are_all_there() -> None:
    # ACOG Committee Opinion 804 (2020), the box of signs to stop at; the count of ten is from
    # memory, restated by the clinics that print it.
    assert having(ACOG) == {
        "blood", "belly", "contractions", "fluid", "breath", "dizzy", "headache", "chest",
        "weak", "leg",
    }  # fmt: skip


def test_the_fifteen_urgent_signs_of_the_cdc_are_all_there() -> None:
    # CDC, recognizing urgent maternal warning signs: 15, of which two speak of bleeding and
    # fluid, in pregnancy and after; both are told apart here.
    assert having(CDC) == {
        "headache", "dizzy", "harm", "vision", "fever", "swelling", "breath", "chest", "sick",
        "belly", "movement", "blood", "fluid", "heavy-blood", "smell", "leg", "tired",
        "unconscious",
    }  # fmt: skip


def test_the_emergencies_of_the_discharge_list_come_first() -> None:
    # AWHONN's list: chest pain, trouble breathing, seizures, thoughts of harm: emergency call.
    # The five others of it: ring the clinician, and emergency if none is reached.
    four = {"chest", "breath", "seizure", "harm"}
    emergencies = [sign.code for sign in signs.warning_signs().values() if sign.emergency]
    assert four <= set(emergencies)
    assert list(signs.warning_signs())[: len(emergencies)] == emergencies
    assert having(AWHONN) - four == {"heavy-blood", "wound", "leg", "fever", "headache", "vision"}


def test_signs_in_no_list_say_so() -> None:
    for code in ("itch", "numb", "retention", "other"):
        assert signs.sign_source(code) == "common practice, no source"


def test_movements_are_never_asked_after_an_end_and_everything_where_the_stage_is_unknown() -> None:
    by_stage = {stage: [sign.code for sign in signs.signs_for(stage)] for stage in Stage}
    assert [stage for stage in Stage if "movement" in by_stage[stage]] == [
        Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.PAST_DUE, Stage.UNKNOWN,
    ]  # fmt: skip
    assert set(by_stage[Stage.UNKNOWN]) == set(signs.warning_signs())
    assert "heavy-blood" in by_stage[Stage.WEEKS_52_ON]
    assert all({"chest", "dizzy", "other"} <= set(codes) for codes in by_stage.values())


def test_quiet_words_and_codes_say_nothing() -> None:
    said = " ".join(f"{s.code} {s.said(quiet=True)}" for s in signs.warning_signs().values())
    assert [word for word in NEVER_IF_QUIET if word in said.lower()] == []


def test_words_differ_from_each_other() -> None:
    for quiet in (True, False):
        words = Counter(sign.said(quiet=quiet) for sign in signs.warning_signs().values())
        assert max(words.values()) == 1


def test_a_sign_is_told_with_what_was_added_unless_that_says_too_much() -> None:
    assert signs.sign_words("dizzy", "on stairs", quiet=True) == "Dizzy or faint (on stairs)"
    assert signs.sign_words("dizzy", "since the birth", quiet=True) == "Dizzy or faint"
    assert signs.sign_words("gone", quiet=False) == "A sign that is not in the list"


ROW = {"code": "x", "words": "X", "urgency": "clinician", "stages": ["after"], "sources": ["one"]}
OTHER = {**ROW, "code": "other"}
WRONG = [
    {"urgency": "soon"}, {"stages": []}, {"stages": ["before"]}, {"sources": []},
    {"sources": ["two"]}, {"words": ""}, {"words": "The baby is quiet"}, {"code": "other"},
    {"quiet": "after birth"}, {"code": "due"}, {"colour": "red"},
]  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG, ids=str)
def test_an_unsound_row_is_refused(wrong: dict[str, Any]) -> None:
    sources = {"one": "A list (2020)"}
    assert list(signs.read_signs({"source": sources, "sign": [ROW, OTHER]})) == ["x", "other"]
    with pytest.raises(ValueError, match=r"not sound|one code"):
        signs.read_signs({"source": sources, "sign": [{**ROW, **wrong}, OTHER]})


def test_a_list_without_other_is_refused() -> None:
    with pytest.raises(ValueError, match="missing"):
        signs.read_signs({"source": {"one": "A list"}, "sign": [ROW]})


def test_the_policy_is_twelve_weeks_and_marked_as_the_practice_s_own() -> None:
    found = policies.policy()
    assert (found.letter_counts_weeks, found.screening_counts_weeks) == (12, 12)
    assert policies.source_of("policy-end").startswith("policy of the practice")


@pytest.mark.parametrize(
    ("values", "match"),
    [
        ({"letter_counts_weeks": 0}, "letter_counts_weeks"),
        ({"gentle_weeks": "6"}, "gentle_weeks"),
        ({"gentle_weeks": True}, "gentle_weeks"),
        ({"past_due_days": 280}, "past_due_days"),
        ({"past_due_days": 295}, "past_due_days"),
        ({"letter_wanted_weeks": 51}, "letter_wanted_weeks"),
        ({"screening_suffices": "no"}, "screening_suffices"),
        ({"off": ["sign"]}, "sign"),
        ({"off": ["against", "screening"]}, "against"),
        ({"moon": 1}, "moon"),
    ],
    ids=str,
)
def test_an_unsound_policy_is_refused_by_name(values: dict[str, Any], match: str) -> None:
    with pytest.raises(ValueError, match=match):
        policies.policy_with(values)


def test_a_day_is_judged_by_the_policy_of_that_day() -> None:
    first, second = date(2026, 11, 2), date(2026, 12, 7)
    found = policies.Policies.of([(second, {"gentle_weeks": 8}), (first, {"off": ["gentle"]})])
    told = [
        (found.on(day).gentle_weeks, found.on(day).checks("gentle"))
        for day in (date(2026, 11, 1), first, date(2026, 12, 6), second)
    ]
    assert told == [(6, True), (6, False), (6, False), (8, True)]


def test_every_rule_that_can_be_switched_off_says_what_is_then_not_checked() -> None:
    everything = policies.policy_with({"off": list(policies.SWITCHES)})
    assert len(everything.unchecked) == len(policies.SWITCHES)
    assert policies.policy().unchecked == ()
    by_switch = {rule.switch for rule in policies.rules().values()} - {""}
    assert by_switch == set(policies.SWITCHES)
