"""Putting right or withdrawing a class that is out: what is kept, and whom it was sent to."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from content.actions import classes as actions
from content.models import ClassCorrection, FitnessClass, SentClass
from tests import factories
from tests.clients.pages import read


@pytest.fixture
def out(practice: Any) -> FitnessClass:
    return factories.fitness_class("On the side", state="published")


def address(item: FitnessClass, name: str = "detail") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def send(item: FitnessClass, *names: str) -> None:
    for name in names:
        SentClass.objects.create(item=item, client=factories.client(name), how="mail")


def test_withdrawing_what_is_out_keeps_a_note_for_those_who_have_it(
    browser: Browser, out: FitnessClass, people: dict[str, Any]
) -> None:
    send(out, "Honora Finch", "Greta Lund")
    assert "It was sent to 2 clients: tell them." in read(browser.get(address(out)))
    sent = {"reason": "A wrong cue.", "to_know": "Leave out\r\nthe last set. "}
    text = read(browser.post(address(out, "withdraw"), sent, follow=True))
    for words in ("Withdrawn: A wrong cue. Leave out", "Sent to 2", "Honora Finch", "Greta Lund"):
        assert words in text
    row = ClassCorrection.objects.get()
    assert (row.kind, row.reason, row.by) == ("withdrawn", "A wrong cue.", people["owner"])
    assert row.note.endswith("the last set.")
    entry = AuditEntry.objects.get(verb="withdrew")
    assert (entry.reason, entry.fields) == ("A wrong cue.", ["state"])


def test_what_never_was_out_is_withdrawn_without_a_note(browser: Browser, practice: Any) -> None:
    idea = factories.fitness_class("Idea", state="outlined")
    assert "What those should know who have it" not in read(browser.get(address(idea)))
    browser.post(address(idea, "withdraw"), {"reason": "Never filmed.", "to_know": "x"})
    assert not ClassCorrection.objects.exists()


@pytest.mark.parametrize("name", ["correct", "withdraw"])
def test_what_is_too_long_is_told_and_stays(browser: Browser, out: FitnessClass, name: str) -> None:
    sent = {"put_right": "x" * 50_000, "reason": "x" * 50_000, "note": "n", "to_know": "n"}
    answer = browser.post(address(out, name), sent)
    assert (answer.status_code, "at most 300 characters" in read(answer)) == (422, True)
    assert ("x" * 50_000) in answer.content.decode()
    assert not ClassCorrection.objects.exists()


def test_what_is_written_is_no_markup(browser: Browser, out: FitnessClass) -> None:
    actions.correct(by=SYSTEM, item=out, put_right="<script>x</script>", note="<b>y</b>")
    source = browser.get(address(out)).content.decode()
    assert "&lt;script&gt;x&lt;/script&gt;" in source
    assert "&lt;b&gt;y&lt;/b&gt;" in source


@pytest.mark.parametrize(
    ("role", "names"), [("owner", True), ("covering coach", False), ("assistant", False)]
)
def test_names_are_for_those_who_may_see_health_and_others_read_how_many(
    people: dict[str, Any], signed_in: Any, out: FitnessClass, role: str, names: bool
) -> None:
    send(out, "Honora Finch")
    text = read(signed_in(people[role]).get(address(out)))
    assert "Sent to 1" in text
    assert ("Honora Finch" in text, "Their names are shown" in text) == (names, not names)


def test_a_class_sent_to_nobody_says_so_before_it_is_put_right(
    browser: Browser, out: FitnessClass
) -> None:
    text = read(browser.get(address(out)))
    assert text.count("It was sent to nobody from here.") == 2
    assert "Sent to" not in text


def test_many_corrections_and_clients_take_no_more_queries(
    browser: Browser, out: FitnessClass
) -> None:
    counts = []
    for names in (["One"], [f"Client {n}" for n in range(29)]):
        send(out, *names)
        for _ in names:
            actions.correct(by=SYSTEM, item=out, put_right="x")
        with CaptureQueriesContext(connection) as made:
            browser.get(address(out))
        counts.append(len(made))
    assert (counts[0], SentClass.objects.count(), ClassCorrection.objects.count()) == (
        counts[1], 30, 30,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("Bump, birth and chair", "The title says “bump” and “birth”: change it, or say no."),
        ("Standing core", ""),
    ],
)
def test_a_yes_for_quiet_clients_is_read_against_the_title(
    browser: Browser, out: FitnessClass, title: str, words: str
) -> None:
    edit = address(out, "edit")
    initial = browser.get(edit).context["form"].initial
    sent = {key: "" if value is None else value for key, value in initial.items()}
    answer = browser.post(edit, {**sent, "title": title, "for_quiet": "yes"})
    out.refresh_from_db()
    assert (out.for_quiet, answer.status_code) == (("", 422) if words else ("yes", 302))
    assert words in read(answer)
    assert browser.post(edit, {**sent, "title": title, "for_quiet": "no"}).status_code == 302
