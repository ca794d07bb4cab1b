"""Compiles what the tests run, once, and leaves it on disk: else each of two parallel runs of them would.

`python tests/shared/compile_once.py search` or `oven`, halves of the work: `make test` runs both beside the
checks that compile nothing. Where all is on disk already they take a few seconds. What neither calls, the
first test that does compiles.
"""

from __future__ import annotations

import sys
from pathlib import Path

from at_the_prompt import typed
from hearthtide.service.planner_warm import warm

BRINDLECOTE = Path(__file__).parents[2] / "examples" / "brindlecote"


def oven() -> None:
    """Oven, views, food and chilling, by commands that ask all of them and search nothing."""
    for words in (("dish", BRINDLECOTE, "pizza"), ("chill", "beans", "--thickest", "40mm")):
        done = typed(*words)
        if done.returncode:
            raise SystemExit(done.stderr)


HALVES = {"search": warm, "oven": oven}

if __name__ == "__main__":
    if sys.argv[1:] not in [[name] for name in HALVES]:
        raise SystemExit(f"compile_once: {' '.join(sys.argv[1:])} (expected {' or '.join(HALVES)})")
    HALVES[sys.argv[1]]()
