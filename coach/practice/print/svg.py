"""A drawing of the PDF library as SVG that may stand in a page under the content policy."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from hashlib import sha256
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from reportlab.graphics import renderSVG

_NAMESPACE = "{http://www.w3.org/2000/svg}"
_FOR_EYES_ONLY = {"clipPath", "title", "desc"}  # as the library writes them: of no use here
_NUMBER = re.compile(r"-?\d+\.\d+")


def as_svg(drawing: Any, title: str, said: str, colours: Mapping[str, str]) -> str:
    """The drawing as an `svg` element that `title` names and `said` describes.

    `colours`: the name of each colour used, by its hexadecimal value. Every style of the library
    becomes attributes and the classes "stroke-…", "fill-…" and "strong"; ValueError for a colour
    without a name.
    """
    written = renderSVG.drawToString(drawing)
    root = ElementTree.fromstring(written)  # noqa: S314  # the library wrote it just now
    names = {_as_written(colour): name for colour, name in colours.items()}
    for element in list(root.iter()):
        element.tag = str(element.tag).removeprefix(_NAMESPACE)
        element.tail = None
        if element.tag != "text":
            element.text = None
    for parent in list(root.iter()):
        for child in [one for one in parent if one.tag in _FOR_EYES_ONLY]:
            parent.remove(child)
    for element in root.iter():
        _restyle(element, names)
    _named(root, drawing, (title, said), f"c{sha256((said + written).encode()).hexdigest()[:12]}")
    return ElementTree.tostring(root, encoding="unicode")


def _as_written(colour: str) -> str:
    """A colour as the library writes it."""
    parts = (int(colour[n : n + 2], 16) / 255 * 100 for n in (1, 3, 5))
    return f"rgb({','.join(f'{int(part)}%' for part in parts)})"


def _restyle(element: Element, names: Mapping[str, str]) -> None:
    style = dict(_pairs(element.attrib.pop("style", "")))
    element.attrib.pop("id", None)
    if not element.get("transform", "-"):
        del element.attrib["transform"]
    classes = [f"{kind}-{_name(style[kind], names)}" for kind in ("stroke", "fill") if kind in style
               and style[kind].casefold() != "none"]  # fmt: skip
    if element.tag == "text":
        # The library rounds where it turns words upright again: done here without.
        element.set("y", str(-float(element.get("y", 0))))
        element.set("transform", "scale(1,-1)")
        element.set("font-size", style["font-size"].removesuffix("px"))
        classes += ["strong"] if style["font-family"].endswith("SemiBold") else []
    else:
        _drawn(element, style)
    if classes:
        element.set("class", " ".join(classes))
    for name, value in element.attrib.items():
        element.set(
            name, _NUMBER.sub(lambda found: f"{float(found[0]):.2f}".rstrip("0").rstrip("."), value)
        )


def _rounded(found: re.Match[str]) -> str:
    return f"{float(found[0]):.2f}".rstrip("0").rstrip(".")


def _drawn(element: Element, style: Mapping[str, str]) -> None:
    """What is no colour, and what has none."""
    for kind in ("stroke", "fill"):
        if style.get(kind, "").casefold() == "none":
            element.set(kind, "none")
    if element.get("stroke") != "none" and "stroke" in style:
        for name in ("stroke-width", "stroke-dasharray"):
            if name in style:
                element.set(name, style[name])


def _pairs(style: str) -> Iterator[tuple[str, str]]:
    for pair in filter(None, (one.strip() for one in style.split(";"))):
        name, _, value = pair.partition(":")
        yield name.strip(), value.strip()


def _name(colour: str, names: Mapping[str, str]) -> str:
    if (found := names.get(colour.replace(" ", ""))) is None:
        raise ValueError(f"{colour} has no name")
    return found


def _named(root: Element, drawing: Any, words: tuple[str, str], key: str) -> None:
    """The root alone says how large it is and what it shows."""
    parts = [Element(tag, {"id": f"{key}-{tag}"}) for tag in ("title", "desc")]
    for part, text in zip(parts, words, strict=True):
        part.text = text
    root.attrib.clear()
    root.attrib |= {
        "class": "chart", "role": "img", "viewBox": f"0 0 {drawing.width:g} {drawing.height:g}",
        "width": f"{drawing.width:g}", "height": f"{drawing.height:g}",
        "aria-labelledby": f"{key}-title", "aria-describedby": f"{key}-desc",
    }  # fmt: skip
    root[:0] = parts
