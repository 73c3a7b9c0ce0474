"""`manage.py chapters`: planned, by a caption file, as text to paste and as JSON."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from coach.practice.audit import SYSTEM
from content.actions.design import change_design
from content.models import FilmedTimes, FitnessClass
from content.queries.filmed import shown
from content.rules.design import Block, Design, Item, Pattern
from tests import factories

CAPTIONS = """WEBVTT

00:00:02.000 --> 00:00:06.000
hello and welcome everybody

00:00:20.000 --> 00:00:24.000
we begin with the squat

00:01:25.000 --> 00:01:29.000
now the clam on your side

00:02:24.000 --> 00:02:28.000
other side clam again

00:03:20.000 --> 00:04:30.000
and rest well done
"""


@pytest.fixture
def item(practice: Any) -> FitnessClass:
    made = factories.fitness_class("Standing core")
    row = Pattern((Item("squat"), Item("clam"), Item("bridge")), 45, 15)
    design = Design((Block("main", "", (row,)),))
    change_design(by=SYSTEM, item=made, step=lambda _: design, what="x")
    return made


def run(*args: object) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    call_command("chapters", *map(str, args), stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def test_planned_as_lines_to_paste(item: FitnessClass) -> None:
    assert run(item.pk)[0] == "0:00 Squat\n1:00 Clam\n3:00 Bridge\n"
    assert run("Standing core")[0] == run(item.pk)[0]


def test_planned_as_json(item: FitnessClass) -> None:
    found = json.loads(run(item.pk, "--json")[0])
    assert found == {
        "class": {"id": item.pk, "title": "Standing core"},
        "aligned": False,
        "chapters": [
            {"title": "Squat", "planned": 0, "start": 0, "confidence": None},
            {"title": "Clam", "planned": 60, "start": 60, "confidence": None},
            {"title": "Bridge", "planned": 180, "start": 180, "confidence": None},
        ],
        "missing": [],
        "overrun": [],
    }


def test_aligned_to_a_caption_file(item: FitnessClass, tmp_path: Path) -> None:
    path = tmp_path / "class.vtt"
    path.write_text(CAPTIONS)
    found = json.loads(run(item.pk, "--captions", path, "--json")[0])
    starts = {one["title"]: one["start"] for one in found["chapters"]}
    assert (found["aligned"], found["missing"]) == (True, ["Bridge"])
    assert 18 <= starts["Squat"] <= 26
    assert 83 <= starts["Clam"] <= 91
    assert found["overrun"][0]["block"] == "Main part"
    assert found["overrun"][0]["planned"] == 240
    text, errors = run(item.pk, "--captions", path)
    assert text.startswith("0:00 Welcome\n0:2")
    assert "Not found: Bridge" in errors


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["99999"], "There is no class “99999”"),
        (["9" * 40], "There is no class “999"),
        (["standing"], "There is no class “standing”"),
        ([""], "There is no class “”"),
        (["Standing core", "--captions", "/"], "cannot be read"),
        (["Nothing"], "There is no class “Nothing”"),
        (["Standing core", "--captions", "/nowhere/at/all.vtt"], "cannot be read"),
        (["Standing core", "--as", "bookkeeper"], "does not see"),
    ],
)
def test_what_cannot_be_is_said(item: FitnessClass, args: list[str], words: str) -> None:
    with pytest.raises(CommandError, match=words):
        run(*args)


def test_a_title_of_digits_is_found_where_no_class_has_that_number(item: FitnessClass) -> None:
    item.title = "2027"
    item.save()
    assert run("2027")[0] == run(item.pk)[0]


def test_captions_that_hold_nothing_of_the_class_leave_everything_missing(
    item: FitnessClass, tmp_path: Path
) -> None:
    path = tmp_path / "other.srt"
    path.write_text("1\n00:00:01,000 --> 00:00:03,000\nabout the weather\n")
    found = json.loads(run(item.pk, "--captions", path, "--json")[0])
    assert (found["chapters"], found["missing"]) == ([], ["Squat", "Clam", "Bridge"])
    assert {one["filmed"] for one in found["overrun"]} == {None}
    text, errors = run(item.pk, "--captions", path)
    assert text == ""
    assert "Not found: Squat\nNot found: Clam\nNot found: Bridge" in errors


def test_kept_captions_count_with_what_was_put_right(item: FitnessClass) -> None:
    keys = [one.key for one in shown(item).targets]
    rows = [
        {"key": key, "at": 20_000 + 60_000 * n, "confidence": 0.9} for n, key in enumerate(keys)
    ]
    FilmedTimes.objects.create(item=item, found=rows, fixed={keys[0]: 21_500}, length_ms=300_000)
    found = json.loads(run(item.pk, "--json")[0])
    assert found["aligned"]
    assert [(one["start"], one["confidence"]) for one in found["chapters"]] == [
        (21.5, 1.0), (80.0, 0.9), (200.0, 0.9),
    ]  # fmt: skip
    assert found["overrun"] == [{"block": "Main part", "planned": 240, "filmed": 278.5}]


@pytest.mark.parametrize("data", [b"", b"\0\xff\xfe\0", b"WEBVTT\n\n", b"{}" * 25_000])
def test_a_file_that_holds_no_captions_is_named(
    item: FitnessClass, tmp_path: Path, data: bytes
) -> None:
    path = tmp_path / "x.vtt"
    path.write_bytes(data)
    with pytest.raises(CommandError, match=r"x\.vtt"):
        run(item.pk, "--captions", path)


def test_a_file_that_is_none_and_a_class_without_a_design(
    item: FitnessClass, tmp_path: Path
) -> None:
    path = tmp_path / "x.txt"
    path.write_text("no times at all")
    with pytest.raises(CommandError, match="The first line has no time"):
        run(item.pk, "--captions", path)
    other = factories.fitness_class("Only an idea")
    with pytest.raises(CommandError, match="is not designed yet"):
        run(other.pk)
    path.write_text(CAPTIONS)
    with pytest.raises(CommandError, match="is not designed yet"):
        run(other.pk, "--captions", path)
    factories.fitness_class("Only an idea")
    with pytest.raises(CommandError, match="more than one class"):
        run("Only an idea")
