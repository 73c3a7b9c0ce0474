"""The one way in for a letter that somebody sends: recognised, and a photo drawn anew."""

from __future__ import annotations

from clients.rules.documents import Document, DocumentRefused, read_document
from coach.practice import pictures


def taken(name: str, content: bytes) -> Document:
    """The file as it may be kept; DocumentRefused, with a sentence for its field, for any other.

    A photo says neither where nor when it was taken any more, and a HEIC is a JPEG. Takes up to
    some seconds, so call it before the transaction that keeps it.
    """
    document = read_document(name, content)
    if not document.is_photo:
        return document
    try:
        drawn, kind = pictures.redrawn(document.content, document.content_type)
    except pictures.PictureRefused as refused:
        raise DocumentRefused(str(refused)) from refused
    return document.redrawn(drawn, kind)
