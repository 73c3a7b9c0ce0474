"""How to reach a client, in the form that a device takes, and her initials. Pure."""

from __future__ import annotations

import unicodedata


def dialled(phone: str) -> str:
    """A number typed by people as a telephone takes it (RFC 3966): "+353861234567".

    The zero in brackets after a country's code is dropped, as it is when dialling from abroad.
    """
    digits = "".join(sign for sign in phone.replace("(0)", "") if sign.isdigit())
    return f"+{digits}" if digits and phone.lstrip().startswith("+") else digits


def initials(name: str) -> str:
    """A name where others may read along: "Siobhán Ní Dhuibhne" is "S.N.D."; "?" for none.

    One letter a word, with the marks that belong to it (Unicode: combining marks follow).
    """
    words = (unicodedata.normalize("NFC", word) for word in name.split())
    letters = (next((sign for sign in word if sign.isalpha()), "") for word in words)
    return "".join(f"{letter.upper()}." for letter in letters if letter) or "?"
