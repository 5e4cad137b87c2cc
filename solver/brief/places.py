"""Where the keys and values of a TOML text stand, by their key path.

A key path is a tuple of keys and array indices as in the parsed data: ``("parts", "lead", "range")``,
``("chords", 2)``. Lines and columns count characters from 1.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

KeyPath = tuple[str | int, ...]
Place = tuple[int, int]

START: Place = (1, 1)


@dataclass(frozen=True)
class Places:
    """The places of all keys and values of a text. A table's value stands at its header, ``[`` or ``{``."""

    values: dict[KeyPath, Place]
    keys: dict[KeyPath, Place]

    def value(self, path: KeyPath) -> Place:
        """Line and column of a value; of the nearest table or array around it where it has no place itself."""
        return _nearest(self.values, path)

    def key(self, path: KeyPath) -> Place:
        """Line and column of a key (of the last part of a dotted one), or of what is nearest around it."""
        return self.keys[path] if path in self.keys else _nearest(self.values, path)


def places_in(text: str) -> Places:
    """The places in a text that tomllib can read. Of a key path that stands twice, the first place counts."""
    from tree_sitter import Language, Parser
    from tree_sitter_toml import language

    data = text.encode("utf-8", "replace")  # a lone surrogate, which no file can hold, keeps its column
    found = _Walk(data)
    found.document(Parser(Language(language())).parse(data).root_node)
    return Places(found.values, found.keys)


def _nearest(places: dict[KeyPath, Place], path: KeyPath) -> Place:
    for size in range(len(path), 0, -1):
        if path[:size] in places:
            return places[path[:size]]
    return START


class _Walk:
    """One walk over a syntax tree; ``values`` and ``keys`` fill up on the way."""

    def __init__(self, data: bytes) -> None:
        self.values: dict[KeyPath, Place] = {}
        self.keys: dict[KeyPath, Place] = {}
        self._lines = data.split(b"\n")
        self._elements: dict[KeyPath, int] = {}  # tables seen so far of each array of tables

    def document(self, root: Node) -> None:
        for node in root.named_children:
            if node.type == "pair":
                self._pair((), node)
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def _table(self, node: Node) -> None:
        header, *rows = [child for child in node.named_children if child.type != "comment"] or [node]
        names = _names(header)
        path = self._resolved(tuple(name for name, _ in names[:-1])) + tuple(name for name, _ in names[-1:])
        if names:
            self.keys.setdefault(path, self._place(names[-1][1]))
        if node.type == "table_array_element":
            index = self._elements.get(path, 0)
            self._elements[path] = index + 1
            path = (*path, index)
        for size in range(1, len(path) + 1):  # a table that only the headers of its tables open stands at the first
            self.values.setdefault(path[:size], self._place(node))
        for row in rows:
            if row.type == "pair":
                self._pair(path, row)

    def _resolved(self, names: tuple[str, ...]) -> KeyPath:
        """The path of a table under arrays of tables: a name of such an array means its latest table."""
        path: KeyPath = ()
        for name in names:
            path = (*path, name)
            if path in self._elements:
                path = (*path, self._elements[path] - 1)
        return path

    def _pair(self, table: KeyPath, node: Node) -> None:
        # A stack and not recursion: arrays may be nested deeper than Python likes to call.
        todo: list[tuple[KeyPath, Node]] = [(table, node)]
        while todo:
            path, item = todo.pop()
            if item.type == "pair":
                parts = [child for child in item.named_children if child.type != "comment"]
                if len(parts) == 2:
                    todo.append((self._key(path, parts[0]), parts[1]))
                continue
            self.values[path] = self._place(item)
            children = [child for child in item.named_children if child.type != "comment"]
            if item.type == "array":
                todo.extend(((*path, index), child) for index, child in enumerate(children))
            elif item.type == "inline_table":
                todo.extend((path, child) for child in children if child.type == "pair")

    def _key(self, table: KeyPath, node: Node) -> KeyPath:
        """The path a key leads to. The tables that a dotted key opens on the way stand where the key does."""
        path = table
        names = _names(node)
        for name, segment in names:
            path = (*path, name)
            self.keys.setdefault(path, self._place(segment))
            self.values.setdefault(path, self._place(node))
        return path

    def _place(self, node: Node) -> Place:
        row, column = node.start_point
        return row + 1, len(self._lines[row][:column].decode("utf-8", "replace")) + 1


def _names(node: Node) -> list[tuple[str, Node]]:
    """The names of a bare, quoted or dotted key, each with its node."""
    names: list[tuple[str, Node]] = []
    while node.type == "dotted_key":
        node, last = node.named_children[0], node.named_children[-1]
        names.append((_name(last), last))
    if node.type in ("bare_key", "quoted_key"):
        names.append((_name(node), node))
    return names[::-1]


def _name(node: Node) -> str:
    text = (node.text or b"").decode("utf-8", "replace")
    if node.type == "bare_key":
        return text
    return next(iter(tomllib.loads(f"{text} = 0")))
