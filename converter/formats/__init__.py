"""Reads the kinds of files that recipes are kept in. ``read_in_worker`` is the way in for files of others."""

from __future__ import annotations

from converter.formats.kinds import REASONS, FileText, Limits, Unreadable
from converter.formats.reader import read_bytes, read_file
from converter.formats.worker import Worker, read_in_worker

__all__ = ["REASONS", "FileText", "Limits", "Unreadable", "Worker", "read_bytes", "read_file", "read_in_worker"]
