"""`plan` and `check_data`, on little and on nothing."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from coach.practice import files
from coach.practice.models import StoredFile


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def test_a_month_that_is_none_is_told(practice: Any) -> None:
    with pytest.raises(CommandError, match="2027-13 is not a month: write it like 2027-01"):
        run("plan", "2027-13")


@pytest.mark.parametrize("command", [("plan", "2027-01"), ("check_data",)])
def test_without_a_practice_it_says_what_to_do(db: None, command: tuple[str, ...]) -> None:
    with pytest.raises(CommandError, match="There is no practice in"):
        run(*command)


def test_what_is_wrong_is_listed_and_the_command_fails(practice: Any) -> None:
    with files.atomic():
        stored = files.store(name="letter", content=b"x", content_type="text/plain")
    files.path_of(StoredFile.objects.get(pk=stored.pk)).unlink()
    out = StringIO()
    with pytest.raises(CommandError, match="2 to look at"):
        call_command("check_data", stdout=out)
    assert out.getvalue().splitlines() == [
        "people: Nobody who may sign in is an owner.",
        f"file: file {stored.uid} cannot be opened.",
    ]
