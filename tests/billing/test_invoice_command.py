"""`invoice NUMBER --pdf FILE` writes what the page shows."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.test import Client as Browser
from django.urls import reverse

from tests import factories_billing as made


@pytest.mark.parametrize("number", ["2026-00001", "2026-1", "2026/1"])
def test_it_writes_the_pdf_that_is_served(browser: Browser, tmp_path: Path, number: str) -> None:
    bill = made.issued()
    file, out = tmp_path / "bill.pdf", io.StringIO()
    call_command("invoice", number, pdf=str(file), stdout=out)
    served = browser.get(reverse("accounts:pdf", args=[bill.uid])).content
    assert file.read_bytes() == served
    assert out.getvalue() == f"{file}: {len(served):,} bytes.\n"


def test_an_unknown_number_is_said_and_nothing_is_written(browser: Browser, tmp_path: Path) -> None:
    made.draft()
    with pytest.raises(CommandError, match="There is no invoice 2026-00042: its number is like"):
        call_command("invoice", "2026-00042", pdf=str(tmp_path / "bill.pdf"))
    assert list(tmp_path.glob("*.pdf")) == []


def test_where_it_cannot_be_written_it_says_why(browser: Browser, tmp_path: Path) -> None:
    made.issued()
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("invoice", "2026-00001", pdf=str(tmp_path / "none" / "bill.pdf"))


def test_without_a_practice_it_says_so(db: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="There is no practice"):
        call_command("invoice", "2026-00001", pdf=str(tmp_path / "bill.pdf"))
