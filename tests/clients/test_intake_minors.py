"""Under 18 the form stops: her guardian and the coach decide; who and when is kept."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client as Browser

from clients.actions.intake import make_link
from clients.models import Intake
from clients.queries.intake import alarms
from clients.rules.intake import is_minor
from coach import clock
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from tests.clients.intakes import YOU, at, begin, keep, send
from tests.clients.pages import read
from tests.conftest import sign_in

TODAY = date(2026, 12, 3)
YOUNG = "2009-03-14"


@pytest.fixture
def intake(practice: Practice) -> Intake:
    return make_link(by=SYSTEM, name="Aoibh")


@pytest.mark.parametrize(
    ("born", "on", "minor"),
    [
        (date(2008, 12, 3), date(2026, 12, 2), True),
        (date(2008, 12, 3), date(2026, 12, 3), False),
        (date(2008, 2, 29), date(2026, 2, 28), True),
        (date(2008, 2, 29), date(2026, 3, 1), False),
    ],
)
def test_she_is_of_age_from_her_eighteenth_birthday(born: date, on: date, minor: bool) -> None:
    """Civil Code of Germany, section 187(2): the day of birth counts; 29 February by the stricter
    reading, 1 March (Hong Kong, Age of Majority (Related Provisions) Ordinance, from memory)."""
    assert is_minor(born, [on]) is minor


def test_the_earlier_date_of_two_places_counts() -> None:
    born = date(2008, 12, 3)
    assert is_minor(born, [date(2026, 12, 3), date(2026, 12, 2)])


def test_the_form_stops_and_the_coach_is_told(intake: Intake) -> None:
    browser = begin(intake, born=YOUNG)
    assert "your guardian and your coach decide together" in read(browser.get(at(intake)))
    assert browser.get(at(intake, "you"))["Location"] == at(intake)
    assert [one.word for one in alarms(TODAY)] == ["minor"]


def test_neither_another_date_nor_a_screen_gets_past_it(intake: Intake) -> None:
    browser = begin(intake, born=YOUNG)
    begin(intake, born="1990-01-01", browser=browser)
    kept = keep(browser, intake, "you", YOU)
    intake.refresh_from_db()
    assert (intake.answers, kept["HX-Redirect"]) == ({"born": YOUNG}, at(intake))
    assert send(browser, intake).status_code == 302


def test_a_time_zone_given_later_is_looked_at_too(
    intake: Intake, monkeypatch: pytest.MonkeyPatch
) -> None:
    days = {"Europe/Dublin": date(2026, 12, 3), "Pacific/Pago_Pago": date(2026, 12, 2)}
    monkeypatch.setattr("clients.queries.intake.clock.today", lambda zone: days[str(zone)])
    browser = begin(intake, born="2008-12-03")
    assert browser.get(at(intake, "you")).status_code == 200
    keep(browser, intake, "you", {**YOU, "time_zone": "Pacific/Pago_Pago"})
    assert browser.get(at(intake, "you"))["Location"] == at(intake)


def decide(browser: Browser, intake: Intake, **values: str) -> int:
    answer = browser.post(f"/clients/forms/{intake.pk}/guardian/", values)
    intake.refresh_from_db()
    return answer.status_code


def test_with_the_guardians_consent_it_goes_on(browser: Browser, intake: Intake) -> None:
    hers = begin(intake, born=YOUNG)
    assert "She is under 18" in read(browser.get(f"/clients/forms/{intake.pk}/"))
    status = decide(
        browser, intake, decision="go on", guardian="Her mother, Orla", consented_on="2026-12-02"
    )
    assert status == 302
    assert {name: intake.guardian[name] for name in ("decision", "guardian", "by_name", "at")} == {
        "decision": "go on",
        "guardian": "Her mother, Orla",
        "by_name": "Una Owner",
        "at": clock.now().isoformat(),
    }
    assert hers.get(at(intake))["Location"] == at(intake, "you")
    assert alarms(TODAY) == []


@pytest.mark.parametrize(
    "values",
    [
        {"decision": "go on"},
        {"decision": "go on", "guardian": "Orla"},
        {"decision": "go on", "guardian": "Orla", "consented_on": "2026-12-04"},
        {"decision": "perhaps", "guardian": "Orla", "consented_on": "2026-12-02"},
    ],
)
def test_not_without_who_consented_and_when(
    browser: Browser, intake: Intake, values: dict[str, str]
) -> None:
    hers = begin(intake, born=YOUNG)
    assert decide(browser, intake, **values) == 422
    assert (intake.guardian, hers.get(at(intake, "you")).status_code) == ({}, 302)


def test_a_no_leaves_it_stopped_and_rings_no_more(browser: Browser, intake: Intake) -> None:
    hers = begin(intake, born=YOUNG)
    decide(browser, intake, decision="no")
    assert "Not yet" in read(hers.get(at(intake)))
    assert alarms(TODAY) == []


def test_a_date_mistyped_is_asked_again_and_looked_at_again(
    browser: Browser, intake: Intake
) -> None:
    hers = begin(intake, born=YOUNG)
    decide(browser, intake, decision="ask again")
    assert (intake.alarm, "Before you begin" in read(hers.get(at(intake)))) == ("", True)
    begin(intake, born=YOUNG, browser=hers)
    assert [one.word for one in alarms(TODAY)] == ["minor"]


def test_an_assistant_sees_nothing_of_it(people: dict[str, User], intake: Intake) -> None:
    begin(intake, born=YOUNG)
    helper = sign_in(people[Role.ASSISTANT])
    assert "under 18" not in read(helper.get(f"/clients/forms/{intake.pk}/"))
    assert decide(helper, intake, decision="no") == 403
