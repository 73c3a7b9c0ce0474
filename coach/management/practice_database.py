"""Which practice the database in use holds, asked without making one by the way."""

from __future__ import annotations

from pathlib import Path

from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection

from coach.practice.models import Practice


def require_practice() -> None:
    """Raise CommandError where the database holds no practice; never create one by looking."""
    if holds_demo() is None:
        raise CommandError(
            f"There is no practice in {place()}: set DATABASE_URL to where yours is, "
            "or make one with “manage.py start”."
        )


def holds_demo() -> bool | None:
    """Whether the practice in the database is a demo; None when it holds no practice.

    CommandError when the database cannot be reached or read.
    """
    path = sqlite_file()
    if path and not path.exists():
        return None  # connecting would make an empty file
    try:
        if Practice._meta.db_table not in connection.introspection.table_names():
            return None
        return Practice.objects.values_list("is_demo", flat=True).first()
    except DatabaseError as error:
        said = str(error).strip().splitlines()[0]
        raise CommandError(f"{place()} cannot be used ({said}).") from None


def place() -> str:
    """The database in use, in words and without its password."""
    where = connection.settings_dict
    path = sqlite_file()
    return str(path) if path else f"database {where['NAME']} on {where['HOST'] or 'this machine'}"


def sqlite_file() -> Path | None:
    """The file of the database in use; None when it is not SQLite."""
    if connection.vendor != "sqlite":
        return None
    return Path(str(connection.settings_dict["NAME"]))


def bring_up_to_date() -> None:
    """Make the tables, or change them to what this version needs."""
    path = sqlite_file()
    if path:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        call_command("migrate", interactive=False, verbosity=0)
        call_command("createcachetable", verbosity=0)
    except DatabaseError as error:
        said = str(error).strip().splitlines()[0]
        raise CommandError(f"The tables in {place()} could not be made ({said}).") from None


def empty() -> None:
    """Take everything out of the database in use."""
    path = sqlite_file()
    if path is None:
        call_command("flush", interactive=False, verbosity=0)
        return
    connection.close()
    # The journal first: beside a new file an old one would be played back.
    for end in ("-wal", "-shm", ""):
        path.with_name(path.name + end).unlink(missing_ok=True)
