"""The MusicXML 4.0 schema as the W3C Music Notation Community Group published it (2021).

The schema's text is not part of this project: the package ``musicxml`` of the test extra brings it. Two schemas that
it imports from the web, for attributes of XML and XLink, stand here in short, with the attributes that it names.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from lxml import etree  # pyright: ignore[reportAttributeAccessIssue]

SCHEMA = Path("generate_classes") / "musicxml_4_0.xsd"
NAMESPACES = {
    "xlink.xsd": ("http://www.w3.org/1999/xlink", ("href", "type", "role", "title", "show", "actuate")),
    "xml.xsd": ("http://www.w3.org/XML/1998/namespace", ("lang", "space")),
}


class _Imports(etree.Resolver):
    """Gives what the schema imports without asking the web."""

    def resolve(self, system_url: str, public_id: str, context: Any) -> Any:
        name = str(system_url).rsplit("/", 1)[-1]
        if name not in NAMESPACES:
            return None
        namespace, attributes = NAMESPACES[name]
        listed = "".join(f'<xs:attribute name="{attribute}" type="xs:string"/>' for attribute in attributes)
        text = (
            f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{namespace}">{listed}</xs:schema>'
        )
        return self.resolve_string(text, context)


@cache
def musicxml_schema() -> etree.XMLSchema:
    """The schema, ready to validate with."""
    package = find_spec("musicxml")
    assert package is not None
    assert package.submodule_search_locations
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Imports())
    path = Path(package.submodule_search_locations[0]) / SCHEMA
    return etree.XMLSchema(etree.parse(str(path), parser))


def complaints(document: bytes) -> list[str]:
    """What the schema has against a document; empty where it is valid."""
    schema = musicxml_schema()
    parsed = etree.fromstring(document, etree.XMLParser(load_dtd=False, no_network=True))
    schema.validate(parsed)
    return [f"line {error.line}: {error.message}" for error in schema.error_log]
