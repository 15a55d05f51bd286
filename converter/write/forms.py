"""The output forms by name."""

from __future__ import annotations

from importlib import import_module

from converter.model import Result

FORMS: tuple[str, ...] = ("text", "markdown", "html", "json", "jsonld")

_MODULES = {"text": "plain", "markdown": "markdown", "html": "page", "json": "record", "jsonld": "linked"}


def render(result: Result, form: str) -> str:
    """Return `result` in one of `FORMS`; only the module of that form is imported.

    Raises ``ValueError`` for a form that is not one of them.
    """
    if form not in _MODULES:
        raise ValueError(f"no form '{form}'; there are {', '.join(FORMS)}")
    words = import_module(f"converter.write.{_MODULES[form]}").render(result)
    assert isinstance(words, str)
    return words
