"""What all requests of one page share, made with the first that wants it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, TypeVar

_LOCK = threading.RLock()
_T = TypeVar("_T")


def shared(app: Any, name: str, kind: type[_T], make: Callable[[], _T]) -> _T:
    """Return the `kind` that stands in ``app.state`` under `name`; `make` is called once, whatever the threads."""
    with _LOCK:
        found = getattr(app.state, name, None)
        if found is None:
            found = make()
            setattr(app.state, name, found)
    assert isinstance(found, kind)
    return found
