"""Building XML elements in one line each."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement


def add(parent: Element, tag: str, text: object = None, /, **attributes: object) -> Element:
    """Add a child with a text and attributes; an underscore in an attribute's name stands for a hyphen."""
    named = {name.replace("_", "-"): str(value) for name, value in attributes.items()}
    child = SubElement(parent, tag, named)
    if text is not None:
        child.text = str(text)
    return child
