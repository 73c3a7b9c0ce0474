"""Which files are taken as a letter: PDF, JPEG and PNG, recognised by their bytes. Pure.

Neither the name nor what a browser says of a file is believed. A file is followed from its first
part to its last, so that one that is cut off is found out; nothing is unpacked, so that nothing
can unpack to more than it is. Formats: ISO 32000-2 (PDF), ITU-T T.81 (JPEG), W3C PNG.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath

MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 100_000_000  # more than any telephone's photo; common practice, no source
LONGEST_NAME = 120

_WANTED = "Take a PDF, or a photo as JPEG or PNG."
_CUT_OFF = (
    "The file is not whole: it ends too early. Fetch it again, or take a photo of the letter."
)
_EMPTY = "The file is empty."
_LARGE = "The file is larger than 10 MB. Take the photo smaller, or save the PDF smaller."
_HUGE = "The picture has more than 100 million dots. Take a smaller one."
_SCRIPT = "The PDF holds a program. Print it to a new PDF, or take a photo of the letter."
# What somebody is likely to try, by its first bytes, with a sentence of its own.
_KNOWN_OTHERS = {
    b"PK\x03\x04": "That is a word-processor or zip file.",
    b"\xd0\xcf\x11\xe0": "That is a file of an older word processor.",
    b"GIF8": "That is a GIF.",
    b"RIFF": "That is a WebP picture or a sound.",
    b"II*\x00": "That is a TIFF.",
    b"MM\x00*": "That is a TIFF.",
    b"MZ": "That is a program.",
    b"{\\rtf": "That is a rich-text file.",
}
_HEIC = re.compile(rb"....ftyp(heic|heix|mif1|msf1|avif)", re.DOTALL)


class DocumentRefused(ValueError):
    """A file that is not taken; the message is a sentence for the field."""


@dataclass(frozen=True, slots=True)
class Document:
    """A file that was recognised: its tidied name, its content and what it is."""

    name: str
    content: bytes
    content_type: str


def read_document(name: str, content: bytes) -> Document:
    """The file as a letter; DocumentRefused, with a sentence for its field, for anything else.

    `name` is what somebody's machine called it; the ending becomes that of what it is.
    """
    if not content:
        raise DocumentRefused(_EMPTY)
    if len(content) > MOST_BYTES:
        raise DocumentRefused(_LARGE)
    for start, ending, content_type, follow in _KINDS:
        if content.startswith(start):
            follow(content)
            return Document(_tidy(name, ending), content, content_type)
    raise DocumentRefused(f"{_what_else(content)}{_WANTED}")


def _what_else(content: bytes) -> str:
    if _HEIC.match(content):
        return "That is a HEIC or AVIF photo. "
    found = (words for start, words in _KNOWN_OTHERS.items() if content.startswith(start))
    return "".join(f"{words} " for words in found)


def _tidy(name: str, ending: str) -> str:
    """A name without folders, control characters or an ending that is not its own."""
    last = PurePosixPath(name.replace("\\", "/")).name
    plain = " ".join("".join(sign if sign.isprintable() else " " for sign in last).split())
    stem = re.sub(r"(\.\w{1,5})+$", "", plain).strip(". ")
    return f"{stem[:LONGEST_NAME] or 'letter'}{ending}"


def _follow_pdf(content: bytes) -> None:
    """A PDF has a version, ends with the place of its index and its end mark, and runs nothing.

    A program is seen only where it lies open, outside of packed streams: what is stored is never
    opened by the server, and a browser shows it without programs.
    """
    if not re.match(rb"%PDF-[12]\.\d", content):
        raise DocumentRefused(f"The PDF is not one that can be read. {_WANTED}")
    tail = content[-2048:]
    found = re.search(rb"startxref\s+(\d+)\s+%%EOF\s*\Z", tail.rstrip(b"\x00\r\n\t ") + b"\n")
    if found is None or not 0 < int(found[1][:12]) < len(content):
        raise DocumentRefused(_CUT_OFF)
    plain = re.sub(rb"(?<!end)stream\r?\n.*?endstream", b"", content, flags=re.DOTALL)
    names = re.sub(rb"#([0-9A-Fa-f]{2})", lambda hit: bytes((int(hit[1], 16),)), plain)
    if re.search(rb"/(JavaScript|JS|Launch)(?![A-Za-z0-9])", names):
        raise DocumentRefused(_SCRIPT)


def _follow_png(content: bytes) -> None:
    """A PNG is a row of parts, each with its checksum: the header first, the end mark last."""
    at = 8
    kinds: list[bytes] = []
    while not kinds or kinds[-1] != b"IEND":
        head = content[at : at + 8]
        if len(head) < 8:
            raise DocumentRefused(_CUT_OFF)
        length, kind = struct.unpack(">I4s", head)
        body, check = content[at + 8 : at + 8 + length], content[at + 8 + length :][:4]
        if len(body) < length or len(check) < 4 or _sum(kind, body) != check:
            raise DocumentRefused(_CUT_OFF)
        if not kinds:
            _check_png_header(kind, body)
        kinds.append(kind)
        at += 12 + length
    if b"IDAT" not in kinds:
        raise DocumentRefused(_CUT_OFF)


def _sum(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", zlib.crc32(body, zlib.crc32(kind)))


def _check_png_header(kind: bytes, body: bytes) -> None:
    if kind != b"IHDR" or len(body) != 13:
        raise DocumentRefused(_CUT_OFF)
    _check_size(*struct.unpack(">II", body[:8]))


def _check_size(width: int, height: int) -> None:
    if not width or not height:
        raise DocumentRefused(_CUT_OFF)
    if width * height > MOST_PIXELS:
        raise DocumentRefused(_HUGE)


_FRAMES = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_SCAN = 0xDA


def _follow_jpeg(content: bytes) -> None:
    """A JPEG is a row of segments: a frame with its size, then a scan that reaches the end mark."""
    sized = False
    for mark, body, at in _segments(content):
        if mark in _FRAMES:
            if len(body) < 6:
                raise DocumentRefused(_CUT_OFF)
            height, width = struct.unpack(">HH", body[1:5])
            _check_size(width, height)
            sized = True
        elif mark == _SCAN:
            if not sized or content.find(b"\xff\xd9", at) < 0:
                raise DocumentRefused(_CUT_OFF)
            return
    raise DocumentRefused(_CUT_OFF)


def _segments(content: bytes) -> Iterator[tuple[int, bytes, int]]:
    """Each segment's mark, its body, and where the next begins."""
    at = 2
    while at + 4 <= len(content) and content[at] == 0xFF:
        if content[at + 1] == 0xFF:  # filling
            at += 1
            continue
        mark, length = struct.unpack(">BH", content[at + 1 : at + 4])
        end = at + 2 + length
        if length < 2 or end > len(content):
            return
        yield mark, content[at + 4 : end], end
        at = end


_KINDS = (
    (b"%PDF-", ".pdf", "application/pdf", _follow_pdf),
    (b"\x89PNG\r\n\x1a\n", ".png", "image/png", _follow_png),
    (b"\xff\xd8\xff", ".jpg", "image/jpeg", _follow_jpeg),
)
