"""Where a client is while she trains, on one day, as pages print it. Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from clients.rules.contact import dialled
from clients.rules.place import Place
from clients.rules.words import unless_quiet

_NAME_HIDDEN = "somebody whose name is not shown while quiet is on"
# One number; what says “112 or 999” is printed and not dialled, or both would be one number.
_ONE_NUMBER = re.compile(r"\+?[0-9 ()./-]{2,39}")


@dataclass(frozen=True, slots=True)
class Where:
    """Her place on a day; empty is "not known". `ring` and `call` are numbers to dial.

    While she is away `until` is its last day and `home` is where she trains otherwise. The
    address is shown as it was typed also while quiet is on: help is sent by it.
    """

    address: str = ""
    number: str = ""
    ring: str = ""
    contact: str = ""
    phone: str = ""
    call: str = ""
    until: date | None = None
    home: str = ""

    @property
    def line(self) -> str:
        """The address in one line."""
        return in_a_line(self.address)

    @property
    def known(self) -> bool:
        """Whether help could be sent: there is an address and a number to ring."""
        return bool(self.address and self.number)


def where_is(place: Place, on: date, *, quiet: bool) -> Where:
    """Where she is on a day, `on` being the date where she is."""
    away = place.is_away(on)
    number = place.number(on)
    return Where(
        address=place.address(on),
        number=number,
        ring=to_dial(number),
        contact=unless_quiet(place.emergency_contact, quiet=quiet, instead=_NAME_HIDDEN),
        phone=place.emergency_phone,
        call=to_dial(place.emergency_phone),
        until=place.away_until if away else None,
        home=in_a_line(place.trains_at) if away else "",
    )


def in_a_line(address: str) -> str:
    """An address of several lines as one."""
    return ", ".join(line.strip(" ,") for line in address.splitlines() if line.strip(" ,"))


def to_dial(number: str) -> str:
    """A number as a telephone takes it (RFC 3966); empty for what is not one single number."""
    return dialled(number) if _ONE_NUMBER.fullmatch(number.strip()) else ""
