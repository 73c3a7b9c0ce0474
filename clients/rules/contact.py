"""How to reach a client, in the form that a device takes. Pure."""

from __future__ import annotations


def dialled(phone: str) -> str:
    """A number typed by people as a telephone takes it (RFC 3966): "+353861234567".

    The zero in brackets after a country's code is dropped, as it is when dialling from abroad.
    """
    digits = "".join(sign for sign in phone.replace("(0)", "") if sign.isdigit())
    return f"+{digits}" if digits and phone.lstrip().startswith("+") else digits
