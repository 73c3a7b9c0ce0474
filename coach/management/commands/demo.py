"""Builds the demo practice when it is not there, and serves it."""

from __future__ import annotations

from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser
from django.db import transaction

from coach import clock
from coach.management import demo_practice, practice_database, serving

ZONE = "Europe/Dublin"


class Command(BaseCommand):
    help = "Builds a made-up practice to look around in, and serves it on this machine."
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--fresh", action="store_true", help="build it anew, losing changes")
        parser.add_argument("--no-serve", action="store_true", help="stop after building")
        parser.add_argument(
            "--port", type=int, default=serving.FIRST_PORT, help="the next free one if it is taken"
        )

    def handle(self, *args: Any, fresh: bool, no_serve: bool, port: int, **options: Any) -> None:
        self._build(fresh=fresh)
        if no_serve:
            self._show_sign_in()
            return
        serving.collect_static_files()
        listening = serving.listen(serving.LOOPBACK, port, tries=serving.PORTS_TRIED)
        self.stdout.write(f"  Address   {serving.address(listening)}")
        self._show_sign_in()
        self.stdout.write("Press Ctrl-C to stop.")
        self.stdout.flush()
        serving.serve(listening)
        self.stdout.write("Stopped.")

    def _build(self, *, fresh: bool) -> None:
        demo = practice_database.holds_demo()
        if demo is False:
            raise CommandError(
                f"{practice_database.place()} holds a real practice, so the demo stays out of it: "
                "set DATABASE_URL to another database, or unset it."
            )
        if demo and fresh:
            practice_database.empty()
        practice_database.bring_up_to_date()
        if practice_database.holds_demo() is None:
            self.stdout.write("Building the demo practice …")
            self.stdout.flush()
            with transaction.atomic():  # all of it or nothing, should it be cut short
                demo_practice.build(clock.today(ZONE))

    def _show_sign_in(self) -> None:
        self.stdout.write(f"  E-mail    {demo_practice.EMAIL}")
        self.stdout.write(f"  Password  {demo_practice.PASSWORD}")
