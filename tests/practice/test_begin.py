"""The first run: the owner is made with the code in the terminal, once."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client as Browser

from coach.practice import actions
from coach.practice.models import AuditEntry, Practice, User

FILLED = {
    "code": "abcd-efgh-jkmn",
    "your_name": "Nuala Keane",
    "email": "Nuala@Example.org",
    "password": "a long walk by the canal",
    "name": "Strand Row Movement",
    "country": "IE",
    "time_zone": "Europe/Dublin",
    "currency": "EUR",
    "tax_name": "VAT",
    "tax_number": "",
    "tax_rate": "13.5",
    "address": "",
}


@pytest.fixture(autouse=True)
def _code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_BEGIN_CODE", "ABCD-EFGH-JKMN")


def post(**changed: str) -> Any:
    return Browser().post("/begin/", {**FILLED, **changed})


def test_every_page_of_an_empty_database_leads_to_the_first_page(db: None) -> None:
    for path in ("/", "/clients/", "/account/login/", "/practice/people/"):
        answer = Browser().get(path)
        assert (answer.status_code, answer["Location"]) == (302, "/begin/")


def test_the_code_makes_the_owner_and_signs_her_in(db: None) -> None:
    browser = Browser()
    answer = browser.post("/begin/", FILLED)
    assert (answer.status_code, answer["Location"]) == (302, "/")
    owner, practice = User.objects.get(), Practice.objects.get()
    assert (owner.email, owner.role) == ("nuala@example.org", "owner")
    assert owner.check_password(FILLED["password"])
    assert (practice.currency, practice.tax_basis_points, practice.is_demo) == ("EUR", 1350, False)
    assert browser.get("/practice/details/").status_code == 200
    assert [entry.verb for entry in AuditEntry.objects.all()] == ["began"]


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"code": "ABCD-EFGH-JKMM"}, "code", "That is not the code in the terminal."),
        ({"code": ""}, "code", "This field is required."),
        ({"password": "password12"}, "password", "This password is too common."),
        ({"email": "nuala"}, "email", "Enter a valid email address."),
        ({"time_zone": "Europe/Atlantis"}, "time_zone", "Select a valid choice."),
        ({"currency": "XXL"}, "currency", "Select a valid choice."),
        ({"tax_rate": "101"}, "tax_rate", "less than or equal to 100"),
    ],
)
def test_bad_input_is_told_beside_its_field_and_nothing_is_made(
    db: None, changed: dict[str, str], field: str, sentence: str
) -> None:
    answer = post(**changed)
    errors = answer.context["form"].errors
    assert list(errors) == [field]
    assert sentence in errors[field][0]
    assert (User.objects.count(), Practice.objects.count()) == (0, 0)
    assert "Strand Row Movement" in answer.content.decode()


@pytest.mark.parametrize("typed", ["ABCD-EFGH-JKMN", "abcd efgh jkmn", " AbcdEfghJkmn "])
@pytest.mark.parametrize("printed", ["ABCD-EFGH-JKMN", "abcd-efgh-jkmn"])
def test_the_code_may_be_typed_in_either_case_and_any_grouping(
    db: None, monkeypatch: pytest.MonkeyPatch, printed: str, typed: str
) -> None:
    monkeypatch.setenv("COACH_BEGIN_CODE", printed)
    assert post(code=typed).status_code == 302


def test_without_a_code_nobody_becomes_owner(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COACH_BEGIN_CODE")
    for code in ("", "-", "ABCD-EFGH-JKMN"):
        assert post(code=code).status_code == 200
    assert User.objects.count() == 0


def test_once_begun_the_page_is_gone(practice: Practice) -> None:
    assert Browser().get("/begin/").status_code == 404
    assert post().status_code == 404


def test_the_action_refuses_a_second_beginning(owner: User) -> None:
    with pytest.raises(actions.AlreadyBegun):
        actions.begin(practice={"name": "Other"}, name="x", email="x@example.org", password="y")
