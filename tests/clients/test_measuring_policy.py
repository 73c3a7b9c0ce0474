"""What the practice has chosen about measuring: what it can be, from today on, never the past."""

from __future__ import annotations

from typing import Any

import pytest

from clients import actions
from clients.models import MeasuringPolicy
from clients.queries.measuring import (
    measuring_now,
    measuring_policies,
    summaries,
    summaries_as_the_assessments_say,
)
from clients.queries.measuring_settings import measuring_history
from clients.queries.readiness import readiness_of
from clients.rules.measuring import default_sites, scheme
from clients.rules.measuring_policy import (
    CONSENSUS,
    GUIDELINE,
    MOST_SITES,
    OWN,
    Measuring,
    MeasuringPolicies,
    measuring_with,
)
from clients.rules.measuring_policy_words import LABELS, changes_words
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.scheduling.reassessment import policy as reassessment_policy
from tests.clients.readying import TODAY, a_client, d, did_all
from tests.factories_clearance import assessment


def choose(reason: str = "as agreed", **values: Any) -> MeasuringPolicy:
    return actions.change_measuring(by=SYSTEM, values=values, reason=reason)


def trail() -> list[tuple[str, str, list[str], str]]:
    return [(e.verb, e.subject_kind, e.fields, e.reason) for e in AuditEntry.objects.order_by("pk")]


# What it can be


def test_to_begin_with_it_is_the_three_published_sites_and_the_strictest_policy() -> None:
    """Sites: Boissonnault & Blaschak 1988, 4.5 cm above, at and 4.5 cm below the navel."""
    found = Measuring()
    assert (found.sites, found.readiness) == (("above45", "navel", "below45"), GUIDELINE)
    assert found.sites == default_sites()
    assert (found.own_gate_weeks, found.own_tests_days, dict(found.asked)) == (12, 14, {})


def test_its_own_amounts_count_under_its_own_policy_alone() -> None:
    amounts = {"hop": 15}
    asked = {
        code: dict(Measuring(readiness=code, amounts=amounts).asked)
        for code in (GUIDELINE, CONSENSUS, OWN)
    }
    assert asked == {GUIDELINE: {}, CONSENSUS: {}, OWN: amounts}


WRONG: list[dict[str, Any]] = [
    {"sites": []},
    {"sites": ["knee"]},
    {"sites": list(scheme().sites)[: MOST_SITES + 1]},
    {"method": "eye"},
    {"position": "swimming"},
    {"readiness": "2030"},
    {"tests_from_weeks": 2},
    {"tests_from_weeks": 105},
    {"own_gate_weeks": 2},
    {"own_gate_weeks": 12.5},
    {"own_tests_days": 0},
    {"own_tests_days": 91},
    {"amounts": {"moon": 3}},
    {"amounts": {"hop": 0}},
    {"amounts": {"hop": "many"}},
    {"reassessment": {"moon": 3}},
    {"reassessment": {"symptom_days": 0}},
]


@pytest.mark.parametrize("values", WRONG)
def test_a_choice_that_cannot_be_is_no_choice(values: dict[str, Any]) -> None:
    with pytest.raises((ValueError, TypeError)):
        measuring_with(values)


@pytest.mark.parametrize("values", WRONG)
def test_and_is_refused_beside_its_field(practice: Any, values: dict[str, Any]) -> None:
    with pytest.raises(actions.Refused) as refused:
        choose(**values)
    assert [one.field for one in refused.value.problems] == list(values)
    assert (MeasuringPolicy.objects.count(), trail()) == (0, [])


def test_what_is_no_choice_at_all_is_refused(practice: Any) -> None:
    with pytest.raises(ValueError, match="'moon' is nothing"):
        measuring_with({"moon": 1})
    with pytest.raises(actions.Refused, match="no such choice"):
        choose(moon=1)


# By its day


def test_a_day_is_judged_by_the_choice_of_that_day() -> None:
    found = MeasuringPolicies.of([(d(4), {"own_gate_weeks": 20}), (d(0), {"own_gate_weeks": 16})])
    assert [found.on(d(n)).own_gate_weeks for n in (-1, 0, 3, 4)] == [12, 16, 16, 20]


def test_a_change_counts_from_today_where_the_coach_is(practice: Any, owner: User) -> None:
    row = actions.change_measuring(
        by=Actor(owner), values={"readiness": CONSENSUS}, reason=" asked by the physio "
    )
    assert (row.begins, row.values, row.reason, row.by) == (
        TODAY, {"readiness": CONSENSUS}, "asked by the physio", owner,
    )  # fmt: skip
    found = measuring_policies()
    assert [found.on(d(n)).readiness for n in (-1, 0)] == [GUIDELINE, CONSENSUS]
    assert trail() == [("changed", "clients.measuringpolicy", ["readiness"], "asked by the physio")]


def test_what_is_not_given_is_as_in_the_data_again(
    practice: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(readiness=OWN, own_gate_weeks=16)
    monkeypatch.setenv("COACH_TODAY", d(2).isoformat())
    choose(readiness=OWN)
    found = measuring_policies()
    assert [found.on(d(n)).own_gate_weeks for n in (-1, 0, 1, 2)] == [12, 16, 16, 12]


def test_twice_on_one_day_is_one_choice_and_two_entries(practice: Any) -> None:
    choose(own_gate_weeks=16)
    choose("another thought", sites=["navel"])
    row = MeasuringPolicy.objects.get()
    assert (row.values, row.reason) == ({"sites": ["navel"]}, "another thought")
    assert [(fields, reason) for _, _, fields, reason in trail()] == [
        (["own_gate_weeks"], "as agreed"), (["own_gate_weeks", "sites"], "another thought"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("values", "fields"),
    [
        ({"own_gate_weeks": 16, "reason": "  "}, ["reason"]),
        ({"own_gate_weeks": 12}, [""]),
        ({}, [""]),
        ({"own_gate_weeks": 0, "readiness": "x", "reason": ""},
         ["own_gate_weeks", "readiness", "reason"]),
    ],
)  # fmt: skip
def test_without_a_reason_or_a_change_nothing_is_kept(
    practice: Any, values: dict[str, Any], fields: list[str]
) -> None:
    with pytest.raises(actions.Refused) as refused:
        choose(**values)
    assert [one.field for one in refused.value.problems] == fields
    assert (MeasuringPolicy.objects.count(), trail()) == (0, [])


# What follows from it


def test_what_lists_read_is_judged_anew(practice: Any) -> None:
    client = a_client()
    assessment(client, d(-4), test_hop_left=12, test_hop_right=12, test_hop_symptom="no")
    assert [one.code for one in summaries()[client.pk].open] == []
    choose(readiness=OWN, amounts={"hop": 15})
    assert [one.code for one in summaries()[client.pk].open] == ["test-hop"]
    assert summaries_as_the_assessments_say() == []
    choose(amounts={"hop": 15})
    assert [one.code for one in summaries()[client.pk].open] == []


def test_readiness_goes_by_the_policy_of_the_day(
    practice: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = a_client(weeks=11)
    did_all(client, d(-4))
    choose(readiness=CONSENSUS)
    monkeypatch.setenv("COACH_TODAY", d(1).isoformat())
    choose(readiness=GUIDELINE)
    found = [readiness_of(client, d(n)) for n in (-1, 0, 1)]
    assert [one.policy.code for one in found] == [GUIDELINE, CONSENSUS, GUIDELINE]
    assert [[one.kind for one in each.missing] for each in found] == [["time"], [], ["time"]]


def test_what_was_reassessed_by_other_numbers_stands_in_the_choice(practice: Any) -> None:
    choose(reassessment={"symptom_days": 5})
    assert dict(measuring_now().reassessment) == {"symptom_days": 5}
    assert reassessment_policy().number("symptom_days") == 7


# In words


def test_the_history_tells_what_differs_the_latest_first(
    practice: Any, owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    actions.change_measuring(by=Actor(owner), values={"method": "fingers"}, reason="by hand")
    monkeypatch.setenv("COACH_TODAY", d(2).isoformat())
    choose("as published")
    found = [(one.begins, one.reason, one.by, one.words) for one in measuring_history()]
    assert found == [
        (d(2), "as published", "", ("Everything as to begin with",)),
        (TODAY, "by hand", "Una Owner",
         ("Measured with: finger-widths, to begin with nothing chosen beforehand",)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"readiness": CONSENSUS},
         ["Which policy of a return to impact is in force: the 2024 consensus, to begin with the "
          "2019 guideline"]),
        ({"sites": ["navel"]},
         ["Sites: at the navel, to begin with 4.5 cm above the navel; at the navel; 4.5 cm below "
          "the navel"]),
        ({"amounts": {"hop": 15}}, ["Hop on the spot: 15 times, published 10"]),
        ({"reassessment": {"symptom_days": 5}},
         ["A symptom she told: again within so many days: 5, to begin with 7"]),
        ({"position": "", "tests_from_weeks": 8},
         ["How she lies or stands: nothing chosen beforehand, to begin with on her back, knees "
          "bent", "Completed weeks after an end before a test is offered: 8, to begin with 6"]),
    ],
)  # fmt: skip
def test_each_choice_is_told_in_words(values: dict[str, Any], words: list[str]) -> None:
    assert changes_words(values) == words


def test_every_choice_has_a_label() -> None:
    assert set(LABELS) == set(Measuring.__dataclass_fields__)
