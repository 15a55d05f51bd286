"""A household's own profile: begun like a built-in cooker, its words for zones changed, comments and all else kept."""

from __future__ import annotations

import json
import os
import re
import threading
from collections.abc import Mapping
from pathlib import Path

import yaml

from converter.place import profiles
from converter.place.cookers import Cooker, ProfileError, default_path

_SLUG_LIMIT = 40


def folder() -> Path:
    """Return where profiles stand that were begun without a file name."""
    return default_path().parent / "cookers"


def known() -> dict[str, Path]:
    """Return the profiles in `folder` by the plain names of their files."""
    try:
        return {path.stem: path for path in sorted(folder().glob("*.yaml")) if path.is_file()}
    except OSError:
        return {}


def begin(name: str, *, like: str, labels: Mapping[str, str]) -> Path:
    """Write a profile called `name`, like a built-in cooker, with the household's `labels` by zone id; return its file.

    Raises ``ProfileError`` where it would be refused or there is one of this name, ``OSError`` where it cannot be
    written.
    """
    words = " ".join(name.split())
    plain = "-".join(re.findall(r"[a-z0-9]+", words.casefold()))[:_SLUG_LIMIT].strip("-")
    path = folder() / f"{plain or 'cooker'}.yaml"
    text = relabelled(profiles.template(like, words), labels)
    folder().mkdir(parents=True, exist_ok=True)
    if os.path.lexists(path):
        raise ProfileError(words, "there is a cooker of this name already")
    _write(path, text)
    return path


def relabel(path: Path, labels: Mapping[str, str]) -> Cooker:
    """Change the words for zones, by zone id, in a profile; return the cooker as it is then.

    Raises ``ProfileError`` where it would be refused, ``OSError`` where it cannot be written; the file is then as
    before.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise ProfileError(path.name, "not UTF-8 text; save the profile as UTF-8") from None
    return _write(path, relabelled(text, labels))


def relabelled(text: str, labels: Mapping[str, str]) -> str:
    """Return the YAML of a profile with other words for the zones of these ids; nothing else of it changes.

    Raises ``ProfileError`` for words that YAML cannot hold.
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    edits: list[tuple[int, int, str]] = []
    for zone in _zones(root):
        keys = {key.value: (key, value) for key, value in zone.value if isinstance(key, yaml.ScalarNode)}
        if "id" not in keys or "kind" not in keys:
            continue
        words = labels.get(keys["id"][1].value)
        if words is None:
            continue
        if not words.isprintable():
            raise ProfileError(keys["id"][1].value, "the words for a zone must be one line of plain words")
        said = json.dumps(" ".join(words.split()), ensure_ascii=False)
        if "label" in keys:
            value = keys["label"][1]
            edits.append((value.start_mark.index, value.end_mark.index, said))
        else:
            after = keys["kind"][1].end_mark.index
            between = ", " if zone.flow_style else "\n" + " " * keys["kind"][0].start_mark.column
            edits.append((after, after, f"{between}label: {said}"))
    for start, end, words in sorted(edits, reverse=True):
        text = text[:start] + words + text[end:]
    return text


def _zones(root: yaml.Node | None) -> list[yaml.MappingNode]:
    for key, value in root.value if isinstance(root, yaml.MappingNode) else ():
        if isinstance(key, yaml.ScalarNode) and key.value == "zones" and isinstance(value, yaml.SequenceNode):
            return [zone for zone in value.value if isinstance(zone, yaml.MappingNode)]
    return []


def _write(path: Path, text: str) -> Cooker:
    """Write a profile if it can be used."""
    trial = path.with_name(f".{path.stem}.{os.getpid()}.{threading.get_ident()}.trial")
    try:
        trial.write_text(text, encoding="utf-8", newline="\n")
        made, findings = profiles.examine(trial, source=os.fspath(path))
    finally:
        trial.unlink(missing_ok=True)
    for finding in findings:
        if finding.refused:
            raise ProfileError(finding.where, finding.message)
    assert made is not None
    profiles.write_whole(path, text)
    return made
