"""Real use: brings the database up to date and serves the practice in it."""

from __future__ import annotations

import os
import secrets
from ipaddress import ip_address
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser
from django.urls import reverse

from coach.management import practice_database, serving

LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # without i, l, o, 0 and 1, which look alike
GROUPS, GROUP_LETTERS = 3, 4  # 12 of 31 letters: 59 bits


class Command(BaseCommand):
    help = "Serves the practice for real use; the first time it shows how to make the owner."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--host", default=serving.LOOPBACK, help="the address to serve on")
        parser.add_argument("--port", type=int, default=serving.FIRST_PORT)

    def handle(self, *args: Any, host: str, port: int, **options: Any) -> None:
        if practice_database.holds_demo():
            raise CommandError(
                f"{practice_database.place()} holds the demo practice, whose password is known "
                "to all: set DATABASE_URL to another database, or unset it."
            )
        practice_database.bring_up_to_date()
        serving.collect_static_files()
        listening = serving.listen(host, port)
        self._say_where(serving.address(listening), host)
        self.stdout.flush()
        serving.serve(listening)
        self.stdout.write("Stopped.")

    def _say_where(self, address: str, host: str) -> None:
        if practice_database.holds_demo() is not None:
            self.stdout.write(f"  Address   {address}")
        else:
            os.environ["COACH_BEGIN_CODE"] = code = new_code()
            self.stdout.write("There is no owner yet. Open this page and type the code:")
            self.stdout.write(f"  Address   {address.rstrip('/')}{reverse('begin')}")
            self.stdout.write(f"  Code      {code}")
        if not is_loopback(host) and not settings.TLS:
            self.stdout.write(
                "Caution: other machines can reach this and nothing is encrypted on the way; "
                "put it behind a server that speaks TLS and set COACH_TLS=1."
            )
        self.stdout.write("Press Ctrl-C to stop.")


def new_code() -> str:
    """A code for one use, in groups of four letters: easy to type, not to be guessed."""
    groups = ["".join(secrets.choice(LETTERS) for _ in range(GROUP_LETTERS)) for _ in range(GROUPS)]
    return "-".join(groups)


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach an address given as a name or a number."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
