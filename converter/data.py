"""Finds and reads the YAML tables. The one module that builds a path to data.

``rules/`` and ``lexicon/`` stand beside the package in a checkout and inside
it (``converter/_data``) when installed.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import yaml

try:
    from yaml import CSafeLoader as _Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as _Loader  # type: ignore[assignment]

_HERE = Path(__file__).resolve().parent


class DataError(Exception):
    """A table that cannot be used: says file, line, what is wrong and what is allowed."""

    def __init__(self, where: str, message: str) -> None:
        super().__init__(f"{where}: {message}")
        self.where = where
        self.message = message


class Node(dict[str, Any]):
    """A mapping that knows the file and the line it was read from."""

    __slots__ = ("file", "line", "lines")

    def __init__(self, file: str, line: int) -> None:
        super().__init__()
        self.file = file
        self.line = line
        self.lines: dict[str, int] = {}

    @property
    def where(self) -> str:
        """``file:line`` of the mapping."""
        return f"{self.file}:{self.line}"

    def at(self, key: str) -> str:
        """``file:line`` of one key."""
        return f"{self.file}:{self.lines.get(key, self.line)}"


def folder(name: str) -> Path:
    """Return the folder ``rules`` or ``lexicon``, installed copy first."""
    for base in (_HERE / "_data", _HERE.parent):
        if (base / name).is_dir():
            return base / name
    raise DataError(name, "the data folder is missing; the installation is not complete")


def tables(name: str, pattern: str = "*.yaml") -> Iterator[Path]:
    """Return the YAML files of a data folder in the order of their names.

    Raises ``DataError`` for a file that does not end in ``.yaml``.
    """
    base = folder(name)
    for path in sorted(base.iterdir()):
        if path.is_file() and path.suffix != ".yaml" and not path.name.startswith("."):
            raise DataError(str(path.name), "only .yaml files belong here")
    return iter(sorted(base.glob(pattern)))


def _build(node: yaml.Node, file: str, loader: Any) -> Any:
    if isinstance(node, yaml.MappingNode):
        made = Node(file, node.start_mark.line + 1)
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1
            if not isinstance(key_node, yaml.ScalarNode):
                raise DataError(f"{file}:{line}", "a key must be a plain word")
            key = key_node.value
            if key in made:
                raise DataError(f"{file}:{line}", f"the key '{key}' is given twice")
            made[key] = _build(value_node, file, loader)
            made.lines[key] = line
        return made
    if isinstance(node, yaml.SequenceNode):
        return [_build(item, file, loader) for item in node.value]
    return loader.construct_object(node)


def parse(text: str, file: str) -> Any:
    """Return the YAML `text` with mappings as `Node`; `file` is the name for messages.

    Raises ``DataError`` with file and line for text that is not YAML and for
    a key that is given twice.
    """
    try:
        loader = _Loader(text)
        try:
            node = loader.get_single_node()
            return None if node is None else _build(node, file, loader)
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise DataError(f"{file}:{line}", f"not readable as YAML: {error.problem}") from None
    except yaml.YAMLError as error:
        raise DataError(file, f"not readable as YAML: {' '.join(str(error).split())}") from None
    except ValueError as error:
        raise DataError(file, f"a value cannot be read: {error}") from None


def read(path: Path, *, name: str | None = None) -> Any:
    """Read one YAML file; raises ``DataError`` as `parse` does, ``OSError`` where it cannot be opened."""
    return parse(path.read_text(encoding="utf-8"), name or path.name)


@cache
def lexicon(name: str) -> Any:
    """Return the word list ``lexicon/<name>.yaml``, read once."""
    return read(folder("lexicon") / f"{name}.yaml", name=f"lexicon/{name}.yaml")


def expect_keys(node: Any, *, required: tuple[str, ...], optional: tuple[str, ...] = (), where: str = "") -> Node:
    """Return `node` if it is a mapping with just these keys; raise ``DataError`` otherwise."""
    if not isinstance(node, Node):
        raise DataError(where or "table", f"expected a mapping, found {type(node).__name__}")
    for key in node:
        if key not in required and key not in optional:
            allowed = ", ".join((*required, *optional))
            raise DataError(node.at(key), f"unknown key '{key}'; allowed are {allowed}")
    for key in required:
        if key not in node:
            raise DataError(node.where, f"the key '{key}' is missing")
    return node
