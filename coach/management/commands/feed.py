"""Prints a feed as a calendar program would read it."""

from __future__ import annotations

from typing import Any
from urllib.parse import urljoin

from django.conf import settings
from django.core.management import BaseCommand, CommandParser

from coach import clock
from coach.feeds import entries
from coach.feeds.ical import to_ical
from coach.feeds.models import Kind
from coach.feeds.queries import FACT
from coach.management.for_role import add_role, require
from coach.management.practice_database import require_practice
from coach.practice.queries import the_practice


class Command(BaseCommand):
    help = "Prints a feed as iCalendar, as a calendar program would read it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("feed", choices=Kind.values, help="which feed")
        parser.add_argument(
            "--site", default=own_address(), help="where the site is, for the links in it"
        )

        add_role(parser)

    def handle(self, *args: Any, feed: str, site: str, role: str, **options: Any) -> None:
        require_practice()
        require(role, FACT[Kind(feed)])
        practice = the_practice()
        calendar = entries.calendar_of(
            Kind(feed),
            practice=practice,
            today=clock.today(practice.time_zone),
            absolute=lambda path: urljoin(site, path),
        )
        self._print(to_ical(calendar))

    def _print(self, body: bytes) -> None:
        """As bytes where there is a terminal or a file: its line ends are not this system's."""
        binary = getattr(self.stdout, "buffer", None)
        if binary is None:
            self.stdout.write(body.decode(), ending="")
        else:
            binary.write(body)
            binary.flush()


def own_address() -> str:
    """The site's address as far as the settings tell it."""
    if settings.TLS:
        return f"https://{settings.ALLOWED_HOSTS[0]}/"
    return f"http://{settings.ALLOWED_HOSTS[0]}:8000/"
