"""Converts a family's folder of recipes into another folder. ``convert_folder`` is the way in."""

from __future__ import annotations

from converter.folder.engines import Given, NoCluster, Processes, cluster, cores
from converter.folder.listing import Listed, Row
from converter.folder.run import Done, FolderTrouble, convert_folder
from converter.folder.work import Setup

__all__ = [
    "Done",
    "FolderTrouble",
    "Given",
    "Listed",
    "NoCluster",
    "Processes",
    "Row",
    "Setup",
    "cluster",
    "convert_folder",
    "cores",
]
