"""The one tree of errors. Each carries its facts as fields, so that every screen words it its own way."""

from __future__ import annotations

from dataclasses import dataclass


class HearthtideError(Exception):
    """Root of everything Hearthtide raises on purpose."""


@dataclass(frozen=True)
class Finding:
    """One mistake in something a person wrote: where, what, what was expected, what to do.

    `line` counts from 1 and is 0 when no line is known (a missing file, say).
    `value` is the value as written, with its unit; empty when nothing was written.
    """

    file: str
    line: int
    field: str
    value: str
    expected: str
    remedy: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        what = f"{self.field} = {self.value}" if self.value else self.field
        return f"{where}  {what} (expected {self.expected}). {self.remedy}".replace("  (", " (")


class InputError(HearthtideError):
    """Something a person wrote cannot be used. Holds every finding, not only the first."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        super().__init__("\n".join(str(finding) for finding in findings))


class PhysicalRangeError(HearthtideError, ValueError):
    """A quantity handed to a model lies outside what the model is made for."""


class NoConvergence(HearthtideError):
    """A solve did not settle; the message says which and how far it got."""


class StoreError(HearthtideError):
    """What must be kept cannot be read or written; the message says why and what to do."""


class NoPlan(HearthtideError):
    """No plan exists at all for an item: names the item, the limit that binds and the way out."""

    def __init__(self, item: str, limit: str, remedy: str) -> None:
        self.item, self.limit, self.remedy = item, limit, remedy
        super().__init__(f"{item}: {limit}. {remedy}")
