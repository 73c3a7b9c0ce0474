"""What is published about a class: description, promises, chapters; the template."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client as Browser
from django.urls import reverse

from coach.practice.audit import SYSTEM
from content.actions.design import change_design
from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.rules.description import DEFAULT, unknown_fields, write
from content.rules.design import Block, Design, Item, Pattern
from tests import factories
from tests.clients.pages import read


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    made = factories.fitness_class("Standing core", minutes=20, stages=["t2"])
    row = Pattern((Item("squat"), Item("clam"), Item("band-row")), 45, 15)
    design = Design((Block("main", "", (row,)),), kit=("band",))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    return made


def page(item: FitnessClass, name: str = "text") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def test_the_template_is_filled_in(browser: Browser, item: FitnessClass) -> None:
    source = browser.get(page(item)).content.decode()
    for words in ("Standing core", "20 minutes.", "You need: band.", "0:00 Squat", "3:00 Band row",
                  "Made for trimester 2", "Ask your midwife or doctor"):  # fmt: skip
        assert words in source
    assert "{" not in source.partition('id="to-copy"')[2].partition("</code>")[0]


def test_her_own_words_are_kept_and_given_up_again(browser: Browser, item: FitnessClass) -> None:
    browser.post(page(item), {"description": "Mine <b>all mine</b>"})
    source = browser.get(page(item)).content.decode()
    assert "Mine &lt;b&gt;all mine&lt;/b&gt;" in source
    browser.post(page(item), {"description": "x", "from_template": "yes"})
    assert ClassText.objects.get().description == ""


def test_a_promise_is_put_in_plainer_words_or_kept_knowingly(
    browser: Browser, item: FitnessClass
) -> None:
    browser.post(page(item), {"description": "It heals you. It is completely safe."})
    assert "Promises in it 2" in read(browser.get(page(item)))
    browser.post(page(item), {"put": "cure:heals"})
    assert ClassText.objects.get().description == "It works on you. It is completely safe."
    browser.post(page(item), {"keep": "safe-for-all:completely safe"})
    text = read(browser.get(page(item)))
    assert ("Promises in it 0" in text, "Kept knowingly: 1" in text) == (True, True)


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"description": "x" * 10_001}, "At most 10000 letters."),
        ({"keep": "cure:cures"}, "These words are not in it any more."),
        ({"put": "cure:cures"}, "change the title itself"),
    ],
)
def test_what_cannot_be_is_told(
    browser: Browser, item: FitnessClass, sent: dict[str, str], words: str
) -> None:
    answer = browser.post(page(item), sent)
    assert (answer.status_code, words in read(answer)) == (422, True)


def test_the_track_is_handed_out_as_a_file(browser: Browser, item: FitnessClass) -> None:
    answer = browser.get(page(item, "chapters_vtt"))
    assert answer.headers["Content-Type"] == "text/vtt; charset=utf-8"
    assert 'filename="standing-core-chapters.vtt"' in answer.headers["Content-Disposition"]
    assert answer.content.decode().startswith("WEBVTT\n\n1\n00:00:00.000 --> 00:01:00.000\nSquat")
    other = factories.fitness_class("Only an idea")
    assert browser.get(page(other, "chapters_vtt")).status_code == 404


def test_the_template_page_shows_how_it_looks_and_refuses_what_there_is_not(
    browser: Browser, item: FitnessClass
) -> None:
    address = reverse("classes:description")
    assert "0:00 Squat" in read(browser.get(address))
    answer = browser.post(address, {"text": "{title} {colour}"})
    assert "There is no field {colour}." in read(answer)
    assert "{title} {colour}" in answer.content.decode()
    browser.post(address, {"text": "Only {title}"})
    assert DescriptionTemplate.objects.get().text == "Only {title}"
    assert "Only Standing core" in browser.get(page(item)).content.decode()


def test_a_line_of_empty_fields_goes_and_the_rest_stays() -> None:
    values = {"title": "Core", "minutes": "20", "kit": "mat", "series": "", "links": ""}
    text = write("{title}\n{series}\n\n\n{links}\n\nYou need: {kit}. {nothing}", values)
    assert text.text == "Core\n\nYou need: mat. {nothing}"
    assert text.unknown == ("nothing",)
    assert unknown_fields(DEFAULT) == ()


def test_who_only_sees_content_changes_nothing(
    people: Any, signed_in: Any, item: FitnessClass
) -> None:
    coach = signed_in(people["covering coach"])
    assert coach.get(page(item)).status_code == 200
    assert coach.post(page(item), {"description": "x"}).status_code == 403
    assert ClassText.objects.count() == 0
