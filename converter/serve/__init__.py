"""The page on the household's own machine: a thin door on the functions that the command uses."""

from converter.serve.door import Door

__all__ = ["Door"]
