"""What is published about a class: description, promises, chapters; the template."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from content.actions.design import change_design
from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.queries.texts import words_of
from content.rules.description import DEFAULT
from content.rules.design import Block, Design, Item, Pattern
from tests import factories
from tests.clients.pages import read

HEALS = {"description": "It heals you. It is completely safe."}


def made(
    title: str = "Standing core",
    *,
    exercises: int = 3,
    kit: tuple[str, ...] = ("band",),
    **values: Any,
) -> FitnessClass:
    item = factories.fitness_class(title, **{"minutes": 20, "stages": ["t2"], **values})
    names = ["squat", "clam", "band-row"] * exercises
    row = Pattern(tuple(Item(name) for name in names[:exercises]), 45, 15)
    design = Design((Block("main", "", (row,)),), kit=kit)
    change_design(by=SYSTEM, item=item, step=lambda _: design, what="x")
    return item


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    return made()


def page(item: FitnessClass, name: str = "text") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def to_copy(source: str) -> str:
    return source.partition('id="to-copy">')[2].partition("</code>")[0]


def typed(source: str) -> str:
    """What stands in the field, without the line end that HTML leaves out."""
    found = source.partition("<textarea")[2].partition(">")[2].partition("</textarea>")[0]
    return found.removeprefix("\n")


def test_kit_that_nobody_announced_is_what_the_exercises_ask_for(
    browser: Browser, practice: Any
) -> None:
    silent = made(kit=())
    assert "You need: cushion, band." in to_copy(browser.get(page(silent)).content.decode())
    empty = factories.fitness_class("No plan")
    assert "You need: not known yet." in to_copy(browser.get(page(empty)).content.decode())
    bare = made("Squats", exercises=1, kit=())
    assert "You need: nothing." in to_copy(browser.get(page(bare)).content.decode())


def test_the_template_is_filled_in(browser: Browser, item: FitnessClass) -> None:
    source = browser.get(page(item)).content.decode()
    for words in ("Standing core", "20 minutes.", "You need: band.", "0:00 Squat", "3:00 Band row",
                  "Made for: trimester 2; check the person", "Ask your midwife"):  # fmt: skip
        assert words in to_copy(source)
    assert "{" not in to_copy(source)
    assert "{chapters}" in typed(source)


def test_her_own_words_are_kept_and_given_up_again(browser: Browser, item: FitnessClass) -> None:
    browser.post(page(item), {"description": "Mine <b>all mine</b>\r\n{chapters}"})
    source = browser.get(page(item)).content.decode()
    assert to_copy(source).startswith("Mine &lt;b&gt;all mine&lt;/b&gt;\n0:00 Squat")
    assert typed(source) == "Mine &lt;b&gt;all mine&lt;/b&gt;\n{chapters}"
    browser.post(page(item), {"description": "x", "from_template": "yes"})
    assert ClassText.objects.get().description == ""


def test_words_that_are_the_template_stay_the_template(
    browser: Browser, item: FitnessClass
) -> None:
    browser.post(page(item), {"description": DEFAULT.replace("\n", "\r\n")})
    assert ClassText.objects.get().description == ""
    browser.post(reverse("classes:description"), {"text": "Only {title}"})
    assert to_copy(browser.get(page(item)).content.decode()) == "Only Standing core"


def test_looking_at_what_is_typed_keeps_nothing(browser: Browser, item: FitnessClass) -> None:
    sent = {"description": "{minutes} of {colour}: it heals you", "look": "yes"}
    part = browser.post(
        page(item), sent, headers={"HX-Request": "true", "HX-Target": "reading"}
    ).content.decode()
    assert part.strip().startswith('<div id="reading" class="part">')
    assert to_copy(part) == '20 of {colour}: it <span class="promise">heals you</span>'
    text = read(browser.post(page(item), sent))
    for words in ("28 of 5000 letters", "Promises in it 1", "is made with you in mind",
                  "{colour} stays as it is typed"):  # fmt: skip
        assert words in text
    assert (ClassText.objects.count(), AuditEntry.objects.filter(verb="changed").count()) == (0, 1)


def test_plainer_words_are_put_with_one_tap_and_what_was_typed_is_kept(
    browser: Browser, item: FitnessClass
) -> None:
    text = read(browser.post(page(item), {**HEALS, "look": "yes"}))
    for words in ("It promises to cure or mend something.", "Rather: is made with you in mind",
                  "FTC, Health Products Compliance Guidance (2022)", "put these instead",
                  "I keep mine"):  # fmt: skip
        assert words in text
    browser.post(page(item), {**HEALS, "put": "cure:heals you"})
    kept = ClassText.objects.get().description
    assert kept == "It is made with you in mind. It is completely safe."


def test_a_promise_is_kept_knowingly_and_who_and_when_is_in_the_trail(
    browser: Browser, item: FitnessClass, people: dict[str, Any]
) -> None:
    browser.post(page(item), {**HEALS, "keep": "safe-for-all:completely safe"})
    text = read(browser.get(page(item)))
    assert ("Promises in it 1" in text, "Kept knowingly completely safe" in text) == (True, True)
    entry = AuditEntry.objects.filter(verb="kept a promise in").get()
    assert (entry.actor, entry.fields, entry.reason) == (
        people["owner"], ["kept_claims"], "completely safe",
    )  # fmt: skip
    browser.post(page(item), {**HEALS, "again": "safe-for-all:completely safe"})
    assert "Promises in it 2" in read(browser.get(page(item)))
    assert ClassText.objects.get().kept_claims == []


def test_a_promise_of_the_title_is_told_beside_it_and_put_right_there(
    browser: Browser, practice: Any
) -> None:
    item = made("Get your body back")
    text = read(browser.get(page(item)))
    assert "before against a body after. Rather: Build strength from where you are" in text
    assert "Promises in it 0" in text
    key = "back-to-before:get your body back"
    assert "These words are not in it any more" in read(browser.post(page(item), {"put": key}))
    browser.post(page(item), {"put_title": key})
    item.refresh_from_db()
    assert item.title == "Build strength from where you are"


def test_a_promise_that_comes_from_a_field_is_changed_where_it_stands(
    browser: Browser, practice: Any
) -> None:
    item = made()
    item.series, item.part = factories.series("Close the gap"), 1
    item.save()
    text = read(browser.get(page(item)))
    assert "It comes from a field: change it where it stands, or keep it." in text
    assert "put these instead" not in text


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"description": "x" * 50_000}, "At most 10000 letters."),
        ({"keep": "cure:cures"}, "These words are not in it any more."),
        ({"put": "cure:cures"}, "These words are not in it any more."),
        ({"put_title": "cure:cures"}, "These words are not in it any more."),
        ({"again": "cure:cures"}, "These words are not in it any more."),
        ({**HEALS, "keep": "<script>"}, "These words are not in it any more."),
    ],
)
def test_what_cannot_be_is_told_and_what_was_typed_stays(
    browser: Browser, item: FitnessClass, sent: dict[str, str], words: str
) -> None:
    answer = browser.post(page(item), sent)
    assert (answer.status_code, words in read(answer)) == (422, True)
    assert sent.get("description", "{title}") in answer.content.decode()
    assert not ClassText.objects.exclude(description="").exists()


def test_a_class_for_quiet_clients_is_told_what_it_says_all_the_same(
    browser: Browser, practice: Any
) -> None:
    item = made("Bump and chair", for_quiet="yes")
    assert "and yet: bump, trimester." in read(browser.get(page(item)))
    item.for_quiet = ""
    item.save()
    assert "and yet" not in read(browser.get(page(item)))


def test_a_stage_that_it_is_made_for_and_its_design_excludes_is_told(
    browser: Browser, practice: Any
) -> None:
    """Jumping in the first weeks: no source allows it; here only that the page says so."""
    item = made(stages=["t2", "w0-6"])
    row = Pattern((Item("jumping-jack"),), 45, 15)
    design = Design((Block("main", "", (row,)),))
    change_design(by=SYSTEM, item=item, step=lambda _: design, what="x")
    assert [str(stage) for stage in words_of(item).excluded][-1:] == [item.stages[-1]]
    assert "yet as it is shown something in it is to be left out then" in read(
        browser.get(page(item))
    )


def test_the_track_is_handed_out_as_a_file(browser: Browser, item: FitnessClass) -> None:
    answer = browser.get(page(item, "chapters_vtt"))
    assert answer.headers["Content-Type"] == "text/vtt; charset=utf-8"
    assert 'filename="standing-core-chapters.vtt"' in answer.headers["Content-Disposition"]
    assert answer.content.decode().startswith("WEBVTT\n\n1\n00:00:00.000 --> 00:01:00.000\nSquat")
    other = factories.fitness_class("Only an idea")
    assert browser.get(page(other, "chapters_vtt")).status_code == 404
    assert "It is not designed yet." in read(browser.get(page(other)))


def test_the_template_page_shows_how_it_looks_and_refuses_what_there_is_not(
    browser: Browser, item: FitnessClass
) -> None:
    address = reverse("classes:description")
    assert "0:00 Squat" in read(browser.get(address))
    answer = browser.post(address, {"text": "{title} {colour}", "links": "https://example.org"})
    assert answer.status_code == 422
    assert "There is no field {colour}." in read(answer)
    assert "{title} {colour}</textarea>" in answer.content.decode()
    assert "https://example.org</textarea>" in answer.content.decode()
    assert not DescriptionTemplate.objects.exists()


def test_links_stand_where_the_template_says_so(browser: Browser, item: FitnessClass) -> None:
    sent = {"text": "{title} {cautions}\n{links}", "links": "https://example.org\r\nmore"}
    browser.post(reverse("classes:description"), sent)
    source = browser.get(page(item)).content.decode()
    assert to_copy(source).endswith("\nhttps://example.org\nmore")


def test_a_template_is_looked_at_with_the_class_chosen_and_not_kept(
    browser: Browser, item: FitnessClass
) -> None:
    other = made("<script>alert(1)</script>")
    sent = {"text": "At {title}", "links": "", "class": str(other.pk), "look": "yes"}
    htmx = {"HX-Request": "true", "HX-Target": "sample"}
    part = browser.post(reverse("classes:description"), sent, headers=htmx).content.decode()
    assert part.strip().startswith('<div id="sample" class="part">')
    assert "At &lt;script&gt;alert(1)&lt;/script&gt;</blockquote>" in part
    assert "It does not say when to ask first and when to stop" in part
    for wrong in ("x", "9" * 40, "99999", "٣"):
        text = read(browser.post(reverse("classes:description"), {**sent, "class": wrong}))
        assert "At &lt;script" in text or "At Standing core" in text
    assert not DescriptionTemplate.objects.exists()


def test_who_only_sees_content_changes_nothing(
    people: Any, signed_in: Any, item: FitnessClass
) -> None:
    coach = signed_in(people["covering coach"])
    source = coach.get(page(item)).content.decode()
    assert ("readonly" in source, "hx-post" in source, "Keep these" in source) == (
        True, False, False,
    )  # fmt: skip
    assert coach.post(page(item), {"description": "x"}).status_code == 403
    assert coach.get(reverse("classes:description")).status_code == 403
    assert ClassText.objects.count() == 0


def test_a_long_class_with_many_promises_takes_no_more_queries(
    browser: Browser, practice: Any
) -> None:
    few, many = made("One", exercises=1), made("Many", exercises=30)
    for item, times in ((few, 1), (many, 30)):
        words = " ".join(f"Lose {n} kg." for n in range(times))
        ClassText.objects.create(item=item, description=words, kept_claims=["x:y"] * times)
    counts = []
    for item in (few, many):
        with CaptureQueriesContext(
            connection,
        ) as made_queries:
            browser.get(page(item))
        counts.append(len(made_queries))
    assert counts[0] == counts[1]
