"""The review of a family's folder: open flags one by one, decisions that last, outputs rewritten at once.

`Desk` is the way in for every door; it prints nothing and holds no connection.
"""

from __future__ import annotations

from converter.review.desk import Desk
from converter.review.items import Alike, Answer, Choice, Done, Item, Left, Page, Stale
from converter.review.judging import kind_words

__all__ = ["Alike", "Answer", "Choice", "Desk", "Done", "Item", "Left", "Page", "Stale", "kind_words"]
