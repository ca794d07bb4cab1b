"""Writers of records that are killed again and again, for the tests beside it: killed_writer.py, on a book.

A writer begins with the record that was not answered before, and corrects every seventh reading.
"""

from __future__ import annotations

import os
import sys
from itertools import count

from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.entries import Corrected, ReadingTaken, Record
from hearthtide.store.database import open_database
from kept_records import reading, record


def say(line: str) -> None:
    os.write(1, f"{line}\n".encode())


def record_of(id: str) -> Record:
    """A reading or a correction that tells which it was."""
    first = id.removesuffix("-c")
    if first != id:
        return record(id, Corrected(first, reading(id, "61C", "14:00"), "misread"), "14:00")
    return record(id, ReadingTaken(reading(id, "60C", "14:00")), "14:00")


def write(path: str, run: int, unanswered: str) -> None:
    book = Book(open_database(path).log(LOG), None)
    if unanswered != "none":
        book.write(record_of(unanswered))
        say(f"ack {unanswered}")
    for n in count():
        id = f"run-{run:06}-{n:06}"
        book.write(record_of(id))
        say(f"ack {id}")
        if n % 7 == 6:
            book.write(record_of(f"{id}-c"))
            say(f"ack {id}-c")


def main() -> None:
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
