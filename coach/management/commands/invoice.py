"""`invoice NUMBER --pdf FILE`: write an issued invoice or credit note as a PDF."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach import clock
from coach.billing.documents import invoice_pdf
from coach.billing.models import Invoice
from coach.billing.papers import paper_of
from coach.billing.queries.invoices import by_number, invoice_page
from coach.management.for_role import add_role, require
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from coach.practice.queries import the_practice


class Command(BaseCommand):
    help = "Write an issued invoice or credit note as a PDF."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", metavar="NUMBER", help="as printed, such as 2026-00042")
        parser.add_argument("--pdf", metavar="FILE", required=True, help="where to write it")
        add_role(parser)

    def handle(self, *_: Any, number: str, pdf: str, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.MONEY)
        practice = the_practice()
        try:
            found = by_number(number)
        except Invoice.DoesNotExist:
            raise CommandError(
                f"There is no invoice {number}: its number is like 2026-00042."
            ) from None
        page = invoice_page(found.uid, clock.today(practice.time_zone))
        self._write(pdf, invoice_pdf(paper_of(page, practice)))

    def _write(self, pdf: str, content: bytes) -> None:
        try:
            Path(pdf).write_bytes(content)
        except OSError as error:
            raise CommandError(f"{pdf} cannot be written ({error.strerror}).") from None
        self.stdout.write(f"{pdf}: {len(content):,} bytes.")
