"""Convert every recipe of a JSON list twice; print the peak memory [MB] after each pass as a JSON list.

Run as a program of its own, so that nothing but the conversion is measured.
"""

from __future__ import annotations

import json
import resource
import sys


def peak_mb() -> float:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024 * 1024 if sys.platform == "darwin" else 1024)


def main(path: str) -> None:
    from converter import pipeline
    from converter.place import cookers, rules
    from converter.read.text import document
    from converter.write.forms import render

    with open(path, encoding="utf-8") as stream:
        texts = json.load(stream)
    cooker, table = cookers.load("four-oven"), rules.load()
    peaks = []
    for _ in range(2):
        for text in texts:
            render(pipeline.convert(document(text, name="recipe"), cooker=cooker, rules=table), "markdown")
        peaks.append(peak_mb())
    print(json.dumps(peaks))


if __name__ == "__main__":
    main(sys.argv[1])
