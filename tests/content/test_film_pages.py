"""What a class is filmed with, as it is handed out."""

from __future__ import annotations

import json
import re
import wave
from io import BytesIO, StringIO
from typing import Any

import pytest
import webvtt
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from content.models import ClassDesign, FilmedTimes, FitnessClass
from content.rules.design import MAIN, Block, Design, Item, Pattern
from tests import factories
from tests.clients.pages import read

FILES = ("run_sheet", "cues_wav", "titles_vtt", "titles_srt")
PLAN = Design(
    (
        Block(
            MAIN,
            "",
            (Pattern((Item("bird-dog-legs"), Item("squat", shows=("sit-to-stand",))), 40, 20),),
        ),
    ),
    promised=120,
)
SECONDS = 120  # twice 40 and 20: neither has two sides


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    return factories.fitness_class("Straße & core", state="filmed", minutes=2)


@pytest.fixture
def designed(item: FitnessClass) -> FitnessClass:
    ClassDesign.objects.create(item=item, planned=PLAN.stored)
    return item


def page(item: FitnessClass, name: str) -> str:
    return reverse(f"classes:{name}", args=[item.pk])


def body(answer: Any) -> bytes:
    return b"".join(answer) if answer.streaming else bytes(answer.content)


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("stored", [None, {}, Design().stored, Design((Block(),)).stored])
def test_without_anything_designed_there_is_no_file(
    browser: Browser, item: FitnessClass, name: str, stored: Any
) -> None:
    if stored is not None:
        ClassDesign.objects.create(item=item, planned=stored)
    assert browser.get(page(item, name)).status_code == 404


def test_without_anything_designed_the_timer_says_so_and_the_class_offers_nothing(
    browser: Browser, item: FitnessClass
) -> None:
    text = read(browser.get(page(item, "timer")))
    assert "It is not designed yet. The timer counts what is designed. Design it" in text
    assert "Filming" not in read(browser.get(page(item, "detail")))


@pytest.mark.parametrize("name", [*FILES, "timer"])
def test_a_class_that_is_not_there_is_not_found(browser: Browser, name: str, db: None) -> None:
    assert browser.get(reverse(f"classes:{name}", args=[4040])).status_code == 404


def test_a_designed_class_offers_all_of_it(browser: Browser, designed: FitnessClass) -> None:
    source = browser.get(page(designed, "detail")).content.decode()
    assert [one for one in (*FILES, "timer") if f'href="{page(designed, one)}"' not in source] == []


def test_the_run_sheet_is_shown_as_a_pdf(browser: Browser, designed: FitnessClass) -> None:
    answer = browser.get(page(designed, "run_sheet"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="run-sheet-strae-core.pdf"'
    assert body(answer)[:5] == b"%PDF-"


def test_the_cue_track_is_streamed_at_its_length(browser: Browser, designed: FitnessClass) -> None:
    answer = browser.get(page(designed, "cues_wav"))
    sound = body(answer)
    assert answer.streaming
    assert answer["Content-Length"] == str(len(sound))
    assert answer["Content-Disposition"] == 'attachment; filename="cues-strae-core.wav"'
    with wave.open(BytesIO(sound)) as file:
        assert file.getnframes() == (SECONDS + 1) * file.getframerate()


def test_the_cue_track_of_a_whole_day_is_not_made(browser: Browser, item: FitnessClass) -> None:
    long = Design((Block(MAIN, "", (Pattern((Item("squat"),), 3600, 0, rounds=7),)),))
    ClassDesign.objects.create(item=item, planned=long.stored)
    assert browser.get(page(item, "cues_wav")).status_code == 404


@pytest.mark.parametrize(
    ("name", "kind"), [("titles_vtt", "text/vtt"), ("titles_srt", "application/x-subrip")]
)
def test_titles_are_handed_out_with_their_type(
    browser: Browser, designed: FitnessClass, name: str, kind: str
) -> None:
    answer = browser.get(page(designed, name))
    ending = name[-3:]
    assert answer["Content-Type"] == f"{kind}; charset=utf-8"
    assert answer["Content-Disposition"] == f'attachment; filename="titles-strae-core.{ending}"'
    found = webvtt.from_buffer(StringIO(answer.content.decode()), format=ending)
    assert found[-1].lines == ["Squat", "Easier: Sit to stand"]


def test_titles_follow_the_film_once_its_times_are_known(
    browser: Browser, designed: FitnessClass
) -> None:
    FilmedTimes.objects.create(
        item=designed,
        cues=[[0, 100_000, "now squats"]],
        found=[
            {"key": "0.0.1.1.", "at": 95_000, "confidence": 0.9, "exercise": "squat", "planned": 0}
        ],
        length_ms=110_000,
    )
    found = webvtt.from_buffer(StringIO(browser.get(page(designed, "titles_vtt")).content.decode()))
    assert [(one.start, one.end) for one in found.captions] == [("00:01:35.000", "00:01:50.000")]


def test_what_the_coach_put_right_is_when_the_title_comes(
    browser: Browser, designed: FitnessClass
) -> None:
    FilmedTimes.objects.create(
        item=designed,
        found=[
            {"key": "0.0.1.1.", "at": 95_000, "confidence": 0.9, "exercise": "squat", "planned": 0}
        ],
        fixed={"0.0.1.1.": 90_500},
    )
    text = browser.get(page(designed, "titles_srt")).content.decode()
    assert re.findall(r"(\S+) --> (\S+)", text) == [("00:01:30,500", "00:02:10,500")]


def test_titles_name_what_was_filmed_the_timer_what_is_planned(
    browser: Browser, designed: FitnessClass
) -> None:
    filmed = Design((Block(MAIN, "", (Pattern((Item("sit-to-stand"),), 40, 20),)),))
    ClassDesign.objects.update(filmed=filmed.stored)
    titles = browser.get(page(designed, "titles_vtt")).content.decode()
    assert ("Sit to stand" in titles, "\nSquat" in titles) == (True, False)
    assert "Squat" in read(browser.get(page(designed, "timer")))


def test_the_timer_holds_everything_it_counts(browser: Browser, designed: FitnessClass) -> None:
    source = browser.get(page(designed, "timer")).content.decode()
    lines = re.findall(r'<li data-start="(\d+)" data-end="(\d+)"', source)
    assert [int(start) for start, _ in lines[1:]] == [int(end) for _, end in lines[:-1]]
    beeps = re.search(r'data-beeps="([^"]*)"', source)
    assert beeps
    when = [second for second, _, _ in json.loads(beeps[1])]
    assert when[:4] == [-3, -2, -1, 0]
    assert {int(start) for start, _ in lines} <= set(when)
    assert when[-1] == int(lines[-1][1]) == SECONDS


@pytest.mark.parametrize("name", [*FILES, "timer"])
def test_the_number_of_queries_is_that_of_a_small_class(
    browser: Browser, item: FitnessClass, name: str
) -> None:
    row = ClassDesign.objects.create(item=item, planned=PLAN.stored)
    counts = []
    for rounds in (1, 30):
        block = Block(MAIN, "", (Pattern((Item("squat"),), 20, 5, rounds=rounds),))
        row.planned = Design((block,)).stored
        row.save()
        with CaptureQueriesContext(
            connection,
        ) as found:
            body(browser.get(page(item, name)))
        counts.append(len(found))
    assert counts[0] == counts[1]
