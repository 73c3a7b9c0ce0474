"""Writes of clients: what is kept, what is refused, and the one entry of the trail."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from clients import actions
from clients.models import Client, DueDateChange, Pregnancy, Standing
from clients.queries import facts_for
from clients.rules.pregnancies import PregnancyFacts
from coach import clock
from coach.practice.audit import SYSTEM, Actor
from coach.practice.models import AuditEntry, User
from coach.scheduling.dates import Ending
from tests import factories

TODAY = date(2026, 12, 3)
DUE = PregnancyFacts(due=date(2027, 2, 21), dated_by="scan")


def ago(n: int) -> date:
    return TODAY - timedelta(days=n)


def trail() -> list[tuple[str, str, list[str], str]]:
    return [(e.verb, e.subject_kind, e.fields, e.reason) for e in AuditEntry.objects.order_by("pk")]


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.")


@pytest.fixture
def running(meret: Client) -> Pregnancy:
    return factories.pregnancy(meret, due=DUE.due, dated_by="scan")


def test_a_client_is_added_with_her_first_pregnancy_in_one_entry(practice: Any) -> None:
    client = actions.add_client(
        by=SYSTEM, name="Meret A.", time_zone="Asia/Tokyo", email="m@example.org", pregnancy=DUE
    )
    kept = client.pregnancies.get()
    assert (client.name, client.time_zone, client.quiet) == ("Meret A.", "Asia/Tokyo", False)
    assert (kept.due, kept.dated_by, kept.expected, kept.ending) == (DUE.due, "scan", 1, "")
    fields = ["email", "name", "pregnancy dated_by", "pregnancy due", "pregnancy expected"]
    assert trail() == [("added", "clients.client", [*fields, "time_zone"], "")]


def test_a_refused_pregnancy_leaves_no_client(practice: Any) -> None:
    with pytest.raises(actions.Refused, match="more than 40 weeks ahead"):
        actions.add_client(
            by=SYSTEM, name="M", time_zone="Asia/Tokyo", pregnancy=PregnancyFacts(due=ago(-281))
        )
    assert (Client.objects.count(), Pregnancy.objects.count(), trail()) == (0, 0, [])


def test_a_client_added_after_a_loss_is_quiet(practice: Any) -> None:
    lost = PregnancyFacts(ended=ago(9), ending="loss")
    client = actions.add_client(by=SYSTEM, name="M", time_zone="Asia/Tokyo", pregnancy=lost)
    assert Client.objects.get(pk=client.pk).quiet is True


def test_only_what_changed_is_named(meret: Client) -> None:
    actions.change_client(by=SYSTEM, client=meret, name="Meret B.", email="", note="likes mornings")
    assert trail() == [("changed", "clients.client", ["name", "note"], "")]


def test_standing_and_quiet_change_by_themselves(meret: Client) -> None:
    actions.set_standing(by=SYSTEM, client=meret, standing=Standing.PAUSED)
    actions.set_quiet(by=SYSTEM, client=meret, quiet=True)
    kept = Client.objects.get(pk=meret.pk)
    assert (kept.standing, kept.quiet) == ("paused", True)
    assert [fields for _, _, fields, _ in trail()] == [["standing"], ["quiet"]]


ENDS = [
    # given                                     then: quiet, mode, born
    ({"ending": Ending.BIRTH, "ended": ago(2), "birth_mode": "caesarean", "born": 2}, False),
    ({"ending": Ending.BIRTH, "ended": ago(2)}, False),
    ({"ending": Ending.BIRTH, "ended": ago(2), "tear": "second", "wound": "closed"}, False),
    ({"ending": Ending.LOSS, "ended": ago(2)}, True),
    ({"ending": Ending.LOSS, "ended": ago(2), "gestation": "9w0d", "surgical": "no"}, True),
]
_OF_THE_END = ("birth_mode", "tear", "wound", "gestation", "surgical")


@pytest.mark.parametrize(("given", "quiet"), ENDS)
def test_an_end_is_recorded_and_a_loss_makes_her_quiet_in_the_same_entry(
    meret: Client, running: Pregnancy, given: dict[str, Any], quiet: bool
) -> None:
    actions.record_end(by=SYSTEM, pregnancy=running, **given)
    kept = Pregnancy.objects.get(pk=running.pk)
    assert (kept.ended, kept.ending) == (given["ended"], given["ending"])
    assert kept.born == given.get("born")
    assert {name: getattr(kept, name) for name in _OF_THE_END} == {
        name: given.get(name, "") for name in _OF_THE_END
    }
    assert Client.objects.get(pk=meret.pk).quiet is quiet
    (verb, _, fields, _), *more = trail()
    assert (verb, ("quiet" in fields), more) == ("recorded the end of", quiet, [])


def test_an_end_is_recorded_once(running: Pregnancy) -> None:
    actions.record_end(by=SYSTEM, pregnancy=running, ending=Ending.BIRTH, ended=ago(2))
    with pytest.raises(actions.Refused, match="recorded already"):
        actions.record_end(by=SYSTEM, pregnancy=running, ending=Ending.LOSS, ended=ago(1))
    assert Pregnancy.objects.get().ending == "birth"


def test_an_end_in_the_future_is_refused_and_nothing_kept(running: Pregnancy) -> None:
    with pytest.raises(actions.Refused, match="not come yet"):
        actions.record_end(by=SYSTEM, pregnancy=running, ending=Ending.LOSS, ended=ago(-1))
    assert (Pregnancy.objects.get().ending, Client.objects.get().quiet, trail()) == ("", False, [])


def test_a_day_that_has_begun_where_she_is_counts_as_come(
    monkeypatch: pytest.MonkeyPatch, running: Pregnancy
) -> None:
    monkeypatch.setattr(clock, "today", lambda zone: ago(0 if "Dublin" in str(zone) else -1))
    Client.objects.update(time_zone="Pacific/Auckland")
    actions.record_end(by=SYSTEM, pregnancy=running, ending=Ending.BIRTH, ended=ago(-1))
    assert Pregnancy.objects.get().ended == ago(-1)


def test_another_due_date_keeps_the_earlier_one_with_who_and_why(
    owner: User, running: Pregnancy
) -> None:
    later = PregnancyFacts(due=date(2027, 2, 27), dated_by="clinician")
    by = Actor(owner, "192.0.2.1")
    actions.change_pregnancy(by=by, pregnancy=running, facts=later, reason=" letter of 2 December ")
    change = DueDateChange.objects.get()
    assert (change.old, change.old_dated_by, change.new) == (DUE.due, "scan", later.due)
    assert (change.reason, change.by, change.pregnancy.due) == (
        "letter of 2 December", owner, later.due,
    )  # fmt: skip
    (_, _, fields, reason), *more = trail()
    assert (fields, reason.strip(), more) == (["dated_by", "due"], "letter of 2 December", [])


def test_another_due_date_without_a_reason_is_refused(running: Pregnancy) -> None:
    later = PregnancyFacts(due=date(2027, 2, 27))
    with pytest.raises(actions.Refused, match="Say why the date changes"):
        actions.change_pregnancy(by=SYSTEM, pregnancy=running, facts=later, reason="  ")
    assert (Pregnancy.objects.get().due, DueDateChange.objects.count()) == (DUE.due, 0)


def test_a_first_due_date_needs_no_reason(meret: Client) -> None:
    unknown = factories.pregnancy(meret)
    actions.change_pregnancy(by=SYSTEM, pregnancy=unknown, facts=DUE)
    assert (Pregnancy.objects.get().due, DueDateChange.objects.count()) == (DUE.due, 0)


def test_an_ending_corrected_to_a_loss_makes_her_quiet(meret: Client, running: Pregnancy) -> None:
    facts = PregnancyFacts(due=DUE.due, dated_by="scan", ended=ago(3), ending="loss")
    actions.change_pregnancy(by=SYSTEM, pregnancy=running, facts=facts)
    assert Client.objects.get(pk=meret.pk).quiet is True


def test_more_babies_than_thought_are_known_from_that_day_and_fewer_before(
    running: Pregnancy, monkeypatch: pytest.MonkeyPatch
) -> None:
    Pregnancy.objects.update(known_on=ago(30))
    twins = replace(DUE, expected=2)
    actions.change_pregnancy(by=SYSTEM, pregnancy=running, facts=twins)
    monkeypatch.setenv("COACH_TODAY", ago(-5).isoformat())
    cut = replace(twins, ended=ago(-4), ending="birth", birth_mode="caesarean", born=2)
    actions.change_pregnancy(by=SYSTEM, pregnancy=running, facts=cut)
    (found,) = facts_for(running.client).pregnancies
    assert [(one.known_on, one.expected, one.birth_mode) for one in found.versions] == [
        (ago(-5), 2, "caesarean"), (TODAY, 2, ""), (ago(30), 1, ""),
    ]  # fmt: skip
    assert {one.pk for one in found.versions} == {running.pk}


def test_what_an_old_version_does_not_hold_had_not_changed_by_then(running: Pregnancy) -> None:
    old = {"due": ago(-90).isoformat(), "ended": None, "ending": "", "known_on": None}
    later = {**old, "known_on": ago(9).isoformat(), "expected": 1, "birth_mode": ""}
    Pregnancy.objects.update(earlier=[old, later], known_on=TODAY, expected=2)
    (found,) = facts_for(running.client).pregnancies
    assert [(one.due, one.known_on, one.expected) for one in found.versions] == [
        (DUE.due, TODAY, 2), (ago(-90), ago(9), 1), (ago(-90), None, 1),
    ]  # fmt: skip


def test_what_the_go_ahead_does_not_read_makes_no_version(running: Pregnancy) -> None:
    Pregnancy.objects.update(known_on=ago(30))
    actions.change_pregnancy(by=SYSTEM, pregnancy=running, facts=replace(DUE, dated_by="lmp"))
    assert Pregnancy.objects.get().earlier == []


def test_a_second_pregnancy_waits_for_the_end_of_the_first(
    meret: Client, running: Pregnancy
) -> None:
    with pytest.raises(actions.Refused, match="no end recorded"):
        actions.add_pregnancy(by=SYSTEM, client=meret, facts=PregnancyFacts(due=ago(-270)))
    actions.record_end(by=SYSTEM, pregnancy=running, ending=Ending.LOSS, ended=ago(20))
    actions.add_pregnancy(by=SYSTEM, client=meret, facts=PregnancyFacts(due=ago(-270)))
    assert Pregnancy.objects.count() == 2


def test_what_is_kept_of_health_is_unreadable_in_the_database(running: Pregnancy) -> None:
    raw = Pregnancy.objects.extra(select={"sealed": "dated_by"}).values_list("sealed", flat=True)
    assert b"scan" not in bytes(raw[0])
