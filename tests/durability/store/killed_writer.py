"""A kitchen that is killed again and again, for the tests beside it: started once, it forks a writer a line.

A line on standard input names a file and a run; the writer's process id comes back, then `ack ID` for each
command acknowledged, and `dead` once somebody has killed it. A writer tells again the last command of the
run before it, as a tablet would after a lost answer, and goes on until it is killed.
"""

from __future__ import annotations

import os
import sys
from itertools import count

from hearthtide.service import commands as told
from hearthtide.store.database import open_database
from told_night import AT_S, Told, kitchen

SNAPSHOT_EVERY = 25


def say(line: str) -> None:
    os.write(1, f"{line}\n".encode())


def reading(id: str) -> told.Command:
    """A reading that tells which command it was: applied twice it would be there twice."""
    return told.Command(id, "Ana", AT_S, told.Reading(61.5, "core", "probe 2", place=id))


def write(path: str, run: int, unanswered: str) -> None:
    night = Told(open_database(path).log("tonight")).night
    ids = (f"run-{run:06}-{n:06}" for n in count())
    if unanswered != "none":
        ids = iter((unanswered, *(next(ids) for _ in range(10_000))))
    for n, id in enumerate(ids):
        answer = night.tell(reading(id))
        assert answer.taken
        say(f"ack {id}")
        if n % SNAPSHOT_EVERY == SNAPSHOT_EVERY - 1:
            night.keep()


def main() -> None:
    kitchen()
    for line in sys.stdin:
        path, run, unanswered = line.rstrip("\n").split("\t")
        child = os.fork()
        if child == 0:
            try:
                write(path, int(run), unanswered)
            except BaseException as err:  # all of it goes to the test, then the process is gone
                say(f"failed {type(err).__name__}: {err}")
            os._exit(1)
        say(f"pid {child}")
        os.waitpid(child, 0)
        say("dead")


if __name__ == "__main__":
    main()
