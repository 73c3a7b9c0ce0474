"""`--as ROLE` for commands that print: what is printed is what that role may see.

Whoever may run a command on this machine has everything anyway; the option is for what is handed
on, printed or piped to somebody else.
"""

from __future__ import annotations

from argparse import ArgumentParser

from django.core.management.base import CommandError

from coach.practice.permissions import Access, Fact, Role, access


def add_role(parser: ArgumentParser) -> None:
    """Add the option; without it a command prints what the owner may see."""
    parser.add_argument(
        "--as",
        dest="role",
        choices=[str(role) for role in Role],
        default=str(Role.OWNER),
        help="print only what this role may see",
    )


def sees(role: str, fact: Fact) -> bool:
    """Whether the table lets a role see a kind of fact."""
    return access(role, fact) >= Access.SEE


def require(role: str, fact: Fact) -> None:
    """CommandError, in a sentence, where it does not."""
    if not sees(role, fact):
        raise CommandError(f"The role “{role}” does not see {fact}.")
