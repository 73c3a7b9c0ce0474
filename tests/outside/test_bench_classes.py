"""What the bench of classes times is a real hour, found whole in its captions."""

from __future__ import annotations

import json
from io import StringIO

import pytest
import webvtt
from django.core.management import call_command

from coach.management.bench_classes import WANTED, hour, measure, spoken
from content.rules.exercises import exercises
from content.rules.timeline import timeline

pytestmark = pytest.mark.endurance


def test_it_times_an_hour_and_finds_it_in_its_captions() -> None:
    found = measure(classes=3)
    assert (found["minutes"], found["intervals"], found["classes"]) == (60, 60, 3)
    assert found["found"] >= 57
    assert list(found["seconds"]) == list(found["ratio"]) == list(WANTED)
    assert all(
        found["ratio"][name] == seconds / WANTED[name] for name, seconds in found["seconds"].items()
    )


def test_its_captions_are_webvtt_of_about_the_length_of_the_film() -> None:
    line = timeline(hour(exercises()), exercises())
    cues = webvtt.from_string(spoken(line, exercises()))
    assert cues[0].start == "00:00:00.000"
    assert 60 * 60 <= cues[-1].end_in_seconds <= 70 * 60


def test_the_command_prints_each_beside_what_is_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    few = measure(classes=3)
    monkeypatch.setattr("coach.management.bench_classes.measure", lambda: few)
    text, data = StringIO(), StringIO()
    call_command("bench", "classes", stdout=text)
    call_command("bench", "classes", "--json", stdout=data)
    assert json.loads(data.getvalue()) == few
    assert "whom 3 classes suit, for one client" in text.getvalue()
    assert text.getvalue().count("of what is wanted") == 3
