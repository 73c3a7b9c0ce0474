"""The owner adds people, gives them a role, takes access away; never the last owner's."""

from __future__ import annotations

import re

import pytest
from django.test import Client as Browser

from coach.practice import actions
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests import factories
from tests.conftest import PASSWORD, sign_in


def test_somebody_added_chooses_her_password_by_the_link_and_signs_in(browser: Browser) -> None:
    added = browser.post(
        "/practice/people/add/",
        {"name": "Aoife", "email": "Aoife@example.org", "role": "assistant"},
    )
    link = re.search(r"http://testserver(/account/\S+?)</code>", added.content.decode())
    assert link
    hers = Browser()
    page = hers.get(link[1], follow=True)
    chosen = {"password1": PASSWORD, "password2": PASSWORD}
    hers.post(page.request["PATH_INFO"], chosen)
    assert User.objects.get(email="aoife@example.org").check_password(PASSWORD)
    again = Browser().get(link[1], follow=True)
    assert not Browser().login(email="aoife@example.org", password="wrong")
    assert "password1" not in again.content.decode()


def test_one_e_mail_is_one_person(browser: Browser, owner: User) -> None:
    answer = browser.post(
        "/practice/people/add/", {"name": "Other", "email": owner.email.upper(), "role": "owner"}
    )
    assert answer.status_code == 422
    assert answer.context["form"].errors["email"] == ["Somebody with this e-mail is already there."]
    assert 'value="Other"' in answer.content.decode()
    assert User.objects.count() == 1


@pytest.mark.parametrize("gives_up", [{"role": Role.ASSISTANT}, {"is_active": False}])
def test_the_last_owner_stays(owner: User, gives_up: dict[str, object]) -> None:
    with pytest.raises(actions.LastOwner):
        actions.change_person(by=SYSTEM, person=owner, **gives_up)
    owner.refresh_from_db()
    assert (owner.role, owner.is_active) == ("owner", True)


def test_the_page_says_so_beside_the_role(browser: Browser, owner: User) -> None:
    sent = {"name": owner.name, "email": owner.email, "role": "assistant", "is_active": "on"}
    answer = browser.post(f"/practice/people/{owner.pk}/", sent)
    assert "only owner" in answer.context["form"].errors["role"][0]


def test_an_owner_may_leave_when_there_is_another(owner: User) -> None:
    factories.person(Role.OWNER, email="second@example.org")
    actions.change_person(by=SYSTEM, person=owner, role=Role.BOOKKEEPER)
    assert User.objects.get(pk=owner.pk).role == "bookkeeper"


def test_without_access_she_is_signed_out_at_once(browser: Browser) -> None:
    helper = factories.person(Role.ASSISTANT)
    hers = sign_in(helper)
    assert hers.get("/practice/").status_code == 200
    sent = {"name": helper.name, "email": helper.email, "role": helper.role}
    browser.post(f"/practice/people/{helper.pk}/", sent)
    assert hers.get("/practice/").status_code == 302
    entry = AuditEntry.objects.first()
    assert entry is not None
    assert (entry.verb, entry.fields) == ("changed", ["is_active"])


def test_the_list_costs_the_same_for_one_and_for_thirty(
    browser: Browser, django_assert_max_num_queries: object
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as one:
        browser.get("/practice/people/")
    for number in range(30):
        factories.person(Role.ASSISTANT, email=f"p{number}@example.org")
    with CaptureQueriesContext(connection) as thirty:
        browser.get("/practice/people/")
    assert len(thirty) == len(one)
