"""The review of a family's folder: open flags one by one, decisions that last, outputs rewritten at once."""

from __future__ import annotations

from converter.review.items import Choice, Item
from converter.review.sitting import Sitting

__all__ = ["Choice", "Item", "Sitting"]
