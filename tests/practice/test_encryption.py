"""Sealed fields: NIST's own AES-GCM vectors through the library, and our envelope around it."""

from __future__ import annotations

import os
from datetime import date

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from django.conf import settings
from django.core.exceptions import FieldError
from django.db import connection

from clients.models import Client, Pregnancy
from coach.practice.encryption import CannotDecrypt, seal, unseal
from tests import factories


def test_the_cipher_is_aes_256_gcm_as_published() -> None:
    """McGrew and Viega, The Galois/Counter Mode of Operation (2005), test case 14."""
    sealed = AESGCM(bytes(32)).encrypt(bytes(12), bytes(16), None)
    assert sealed.hex() == "cea7403d4d606b6e074ec5d3baf39d18d0d1c8a799996bf0265b98b5d48ab919"


def test_a_sealed_value_opens_for_its_own_column_only() -> None:
    sealed = seal("clients.client.note", "tired today")
    assert unseal("clients.client.note", sealed) == "tired today"
    with pytest.raises(CannotDecrypt):
        unseal("clients.pregnancy.due", sealed)


def test_the_same_text_never_looks_the_same_twice() -> None:
    assert seal("x", "yes") != seal("x", "yes")


@pytest.mark.parametrize("place", range(2, 20))
def test_a_single_changed_byte_is_noticed(place: int) -> None:
    sealed = bytearray(seal("x", "forty weeks"))
    sealed[place] ^= 1
    with pytest.raises(CannotDecrypt):
        unseal("x", bytes(sealed))


@pytest.mark.parametrize("broken", [b"", b"\x01", b"\x02\x01" + bytes(40), b"\x01\x63" + bytes(40)])
def test_what_no_key_opens_is_an_error_and_never_empty(broken: bytes) -> None:
    with pytest.raises(CannotDecrypt):
        unseal("x", broken)


def test_after_rotation_old_values_open_and_new_ones_use_the_new_key(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    old = seal("x", "before")
    monkeypatch.setattr(settings, "FIELD_KEYS", {2: os.urandom(32), **settings.FIELD_KEYS})
    assert unseal("x", old) == "before"
    assert seal("x", "after")[1] == 2


def test_the_database_holds_nothing_readable(db: None) -> None:
    client = factories.client("Maeve", note="heavy bleeding", quiet=True)
    factories.pregnancy(client, due=date(2027, 4, 12), ending="", dated_by="clinician")
    with connection.cursor() as cursor:
        cursor.execute("SELECT quiet, note FROM clients_client")
        columns = list(cursor.fetchone())
        cursor.execute("SELECT due, dated_by, ending FROM clients_pregnancy")
        columns += cursor.fetchone()
    together = b"".join(bytes(column) for column in columns)
    assert [
        word for word in (b"bleeding", b"2027", b"clinician", b"true") if word in together
    ] == []
    kept = Pregnancy.objects.get()
    assert (kept.due, kept.dated_by, kept.ending) == (date(2027, 4, 12), "clinician", "")
    assert Client.objects.get().quiet is True


def test_a_date_column_refuses_text(db: None) -> None:
    with pytest.raises(TypeError, match="takes a date"):
        factories.pregnancy(factories.client(), due="2027-04-12")  # type: ignore[arg-type]


def test_a_sealed_column_cannot_be_searched(db: None) -> None:
    with pytest.raises(FieldError):
        list(Client.objects.filter(note="x"))
