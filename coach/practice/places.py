"""Countries, currencies and time zones to choose from, in English words."""

from __future__ import annotations

from itertools import groupby
from zoneinfo import available_timezones

from babel import Locale
from babel.numbers import get_territory_currencies

_ENGLISH = Locale("en", "GB")
# Codes of two letters that name no country: unions, groups, placeholders (Unicode CLDR).
_NO_COUNTRIES = frozenset(("EU", "EZ", "QO", "UN", "XA", "XB", "ZZ"))

_AREAS = frozenset(
    ("Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe",
     "Indian", "Pacific")
)  # fmt: skip
_NAMES = sorted(zone for zone in available_timezones() if zone.partition("/")[0] in _AREAS)

Choices = list[tuple[str, str | list[tuple[str, str]]]]


def zone_label(zone: str) -> str:
    """ "Dublin", "Argentina, Ushuaia"."""
    return ", ".join(zone.replace("_", " ").split("/")[1:]) or zone


def zone_choices(*first: str) -> Choices:
    """IANA names grouped by area; `first` stand above, so that theirs need no search."""
    top = [(zone, zone_label(zone)) for zone in dict.fromkeys(first)]
    groups = groupby(_NAMES, key=lambda zone: zone.partition("/")[0])
    return [
        # An area of its own: the same zone stands in its continent too.
        *([("Here", top)] if top else []),
        *((area, [(zone, zone_label(zone)) for zone in zones]) for area, zones in groups),
    ]


def country_choices() -> list[tuple[str, str]]:
    """ISO 3166 codes with their names, by name."""
    named = ((code, str(name)) for code, name in _ENGLISH.territories.items())
    found = [(code, name) for code, name in named if len(code) == 2 and code.isalpha()]
    return sorted(
        (pair for pair in found if pair[0] not in _NO_COUNTRIES), key=lambda pair: pair[1]
    )


def currency_choices() -> list[tuple[str, str]]:
    """ISO 4217 codes of what is legal tender somewhere now, with their names, by code."""
    codes = {code for country, _ in country_choices() for code in get_territory_currencies(country)}
    return [(code, f"{code}, {_ENGLISH.currencies.get(code, code)}") for code in sorted(codes)]
