"""The page of a film's captions: a file or pasted text, what they tell, times put right by hand."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.practice.models import AuditEntry, User
from content.models import ClassDesign, FilmedTimes, FitnessClass
from content.rules.design import Block, Design, Item, Pattern
from tests import factories
from tests.clients.pages import read

MARCH, SQUAT, BRIDGE = "0.0.0.1.alternating", "0.0.1.1.", "0.0.2.1."
TEXT = (
    "0:00 hello and welcome we begin with a standing march and go\n"
    "0:40 tall knees lift easily\n"
    "1:00 and now squats here we go\n"
    "1:50 well done have a sip of water and see you next time\n"
)


def designed(*codes: str) -> Design:
    items = tuple(Item(code) for code in codes)
    return Design((Block("main", "The middle", (Pattern(items, 45, 15),)),))


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    item = factories.fitness_class("Standing core", state="filmed")
    ClassDesign.objects.create(
        item=item, planned=designed("standing-march", "squat", "bridge").stored
    )
    return item


def url(item: FitnessClass, name: str = "captions") -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def paste(browser: Browser, item: FitnessClass, text: str = TEXT, **more: Any) -> Any:
    return browser.post(url(item, "keep_captions"), {"text": text, **more}, follow=True)


def fix(browser: Browser, item: FitnessClass, at: str, key: str = BRIDGE, **more: str) -> Any:
    sent = {"key": key, "at": at, **more}
    return browser.post(url(item, "fix_time"), sent, follow=True)


def test_before_there_are_captions_the_page_says_what_they_are_for(
    browser: Browser, item: FitnessClass
) -> None:
    text = read(browser.get(url(item)))
    assert "No captions yet. With those of the filmed class, each exercise is found" in text
    assert "put right" not in text


def test_pasted_text_gives_times_confidence_and_what_was_not_found(
    browser: Browser, item: FitnessClass
) -> None:
    text = read(paste(browser, item))
    assert "The captions are kept." in text
    assert re.search(r"0:\d\d(\.\d)? Standing march sides in turn clear, \d+ % planned 0:00", text)
    assert re.search(r"1:\d\d(\.\d)? Squat \w+, \d+ % planned 1:00", text)
    assert "– Bridge not found planned 2:00" in text
    assert "Not found 1 Bridge Planned against filmed The middle" in text
    assert "In use: pasted text, 4 captions." in text


def test_a_file_is_read_and_named(browser: Browser, item: FitnessClass) -> None:
    cue = "WEBVTT\n\n00:01:00.000 --> 00:01:04.000\nsquats and go\n"
    file = SimpleUploadedFile("core & more.vtt", cue.encode())
    answer = browser.post(url(item, "keep_captions"), {"file": file, "length": "3:10"}, follow=True)
    row = FilmedTimes.objects.get()
    assert (row.file_name, row.length_ms) == ("core & more.vtt", 190_000)
    assert row.cues == [[60_000, 64_000, "squats and go"]]
    assert "In use: core &amp; more.vtt, 1 caption." in read(answer)


def test_a_file_that_is_not_utf_8_is_read_with_a_notice(
    browser: Browser, item: FitnessClass
) -> None:
    file = SimpleUploadedFile("core.txt", TEXT.replace("hello", "olé").encode("cp1252"))
    answer = browser.post(url(item, "keep_captions"), {"file": file}, follow=True)
    assert "Read as Western European text, not UTF-8." in read(answer)


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Choose a file, or paste the text below."),
        ({"text": "squats"}, "The first line has no time. Write times like 0:00 or 1:02:03."),
        ({"text": "0:00 squats\n2:00 rest"}, "Line 2: more than a minute since the time before"),
        ({"text": TEXT, "length": "long"}, "Write minutes and seconds of the film"),
        ({"file": b"", "text": ""}, "The file is empty."),
        ({"file": b"WEBVTT\n\n00:01 --> 00:02\nsquat\n"}, "Line 3 has a time that is not written"),
        ({"file": b"0:00 squat", "text": TEXT}, "Choose a file or paste the text, not both."),
        ({"file": b"0:00 " + b"a" * 2_000_000}, "The file is too long for captions of a class."),
        ({"file": b"0:00 " + b"a" * 4_000_000}, "The file is too large for the captions of one"),
    ],
)
def test_what_cannot_be_read_is_said_and_changes_nothing(
    browser: Browser, item: FitnessClass, sent: dict[str, Any], said: str
) -> None:
    paste(browser, item)
    before = FilmedTimes.objects.values().get()
    entries = AuditEntry.objects.count()
    if "file" in sent:
        sent = {**sent, "file": SimpleUploadedFile("core.vtt", sent["file"])}
    answer = browser.post(url(item, "keep_captions"), sent)
    assert answer.status_code == 422
    assert said in read(answer).replace("&#x27;", "'")
    assert FilmedTimes.objects.values().get() == before
    assert AuditEntry.objects.count() == entries


def test_pasted_text_that_is_refused_stays_in_the_form(
    browser: Browser, item: FitnessClass
) -> None:
    answer = browser.post(url(item, "keep_captions"), {"text": "squats & more", "length": "3:10"})
    source = answer.content.decode()
    assert "squats &amp; more</textarea>" in source
    assert 'value="3:10"' in source
    assert FilmedTimes.objects.count() == 0


def test_a_class_that_is_not_designed_takes_none(browser: Browser, practice: Any) -> None:
    bare = factories.fitness_class("Bare", state="filmed")
    answer = paste(browser, bare)
    assert answer.status_code == 422
    assert "It is not designed yet. There is nothing that captions could be compared" in read(
        answer
    )
    assert FilmedTimes.objects.count() == 0


def test_a_time_is_put_right_and_taken_back(browser: Browser, item: FitnessClass) -> None:
    paste(browser, item)
    text = read(fix(browser, item, "1:45.5"))
    assert "Put right; the rest is found anew." in text
    assert "1:45.5 Bridge put right by hand planned 2:00" in text
    assert "Every exercise was found." in text
    text = read(fix(browser, item, "", op="back"))
    assert "Taken back." in text
    assert "– Bridge not found planned 2:00" in text


def test_a_time_that_is_none_is_said_beside_its_field_and_stays_there(
    browser: Browser, item: FitnessClass
) -> None:
    paste(browser, item)
    answer = fix(browser, item, "1:75")
    source = answer.content.decode()
    assert answer.status_code == 422
    assert source.count("Write minutes and seconds of the film, like 4:05 or 4:05.5") == 1
    wrong = next(row for row in source.split("<li ") if 'aria-invalid="true"' in row)
    assert f'value="{BRIDGE}"' in wrong
    assert 'value="1:75"' in wrong
    assert FilmedTimes.objects.get().fixed == {}


@pytest.mark.parametrize(("key", "at"), [("9.9.9.9.", "1:00"), ("", "1:00"), ("x" * 80, "1:00")])
def test_an_exercise_that_is_not_there_is_refused(
    browser: Browser, item: FitnessClass, key: str, at: str
) -> None:
    paste(browser, item)
    assert fix(browser, item, at, key).status_code == 422
    assert FilmedTimes.objects.get().fixed == {}


def test_other_captions_ask_whether_it_is_the_same_film(
    browser: Browser, item: FitnessClass
) -> None:
    assert "It is the same film" not in read(paste(browser, item))
    assert "It is the same film" in read(fix(browser, item, "1:45"))
    paste(browser, item, keep_fixed="on")
    assert FilmedTimes.objects.get().fixed == {BRIDGE: 105_000}
    paste(browser, item)
    assert FilmedTimes.objects.get().fixed == {}


def test_times_of_an_earlier_design_are_called_so(browser: Browser, item: FitnessClass) -> None:
    paste(browser, item)
    earlier = "These times are of an earlier design"
    assert earlier not in read(browser.get(url(item)))
    ClassDesign.objects.update(planned=designed("standing-march", "bridge", "squat").stored)
    assert earlier in read(browser.get(url(item)))
    text = read(browser.post(url(item, "align_again"), follow=True))
    assert "Found anew for the design as it is now." in text
    assert earlier not in text


def test_the_class_links_to_its_captions(browser: Browser, item: FitnessClass) -> None:
    detail = browser.get(reverse("classes:detail", args=[item.pk])).content.decode()
    assert f'href="{url(item)}"' in detail


@pytest.mark.parametrize(
    ("who", "status"),
    [("owner", 200), ("assistant", 200), ("bookkeeper", 403), ("nobody", 302)],
)
def test_who_may_see_it(
    people: dict[str, User | None], signed_in: Any, item: FitnessClass, who: str, status: int
) -> None:
    answer = signed_in(people[who]).get(url(item))
    assert answer.status_code == status


def test_a_class_that_is_not_there(browser: Browser, practice: Any) -> None:
    for name in ("captions", "keep_captions", "fix_time", "align_again"):
        page = reverse(f"classes:{name}", args=[999])
        answer = browser.get(page) if name == "captions" else browser.post(page)
        assert answer.status_code == 404


def test_the_page_takes_as_many_queries_for_one_interval_as_for_thirty(
    browser: Browser, item: FitnessClass
) -> None:
    counts = []
    for codes in (("squat",), ("squat",) * 30):
        ClassDesign.objects.update(planned=designed(*codes).stored)
        paste(browser, item)
        with CaptureQueriesContext(connection) as queries:
            browser.get(url(item))
        counts.append(len(queries))
    assert counts[0] == counts[1]
