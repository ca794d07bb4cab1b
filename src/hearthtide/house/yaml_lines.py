"""YAML that remembers where everything was written, and refuses what a house file never needs.

Every scalar stays the text that was written (`no` is a word, `12` a table's name); the models give
it meaning. Size, depth and count are bounded, and anchors, aliases, tags, merges and duplicate keys
are refused, so that no file can make the reader work long or take much memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from io import StringIO

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
)

from hearthtide.errors import Finding, InputError

# The three bounds are our own choice: some ten times the largest night a house is likely to write.
MAX_BYTES = 1_000_000
MAX_DEPTH = 12
MAX_NODES = 20_000
EMPTY_WORDS = frozenset({"", "~", "null"})

KeyPath = tuple[str | int, ...]
Plain = str | None | list["Plain"] | dict[str, "Plain"]


@dataclass(frozen=True)
class Document:
    """One file as written: plain data, the line of every key path, the text of every scalar."""

    file: str
    data: dict[str, Plain]
    lines: dict[KeyPath, int] = field(default_factory=dict)
    texts: dict[KeyPath, str] = field(default_factory=dict)

    def line(self, path: KeyPath) -> int:
        """The line of `path`, or of the nearest thing around it that was written."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def finding(self, path: KeyPath, expected: str, remedy: str) -> Finding:
        """A finding at `path`, with the value as written there."""
        value = shown(self.texts.get(path, ""))
        return Finding(self.file, self.line(path), field_text(path), value, expected, remedy)


def field_text(path: KeyPath) -> str:
    """A key path as a cook reads it; list places count from 1.

    >>> field_text(("tickets", 3, "wanted"))
    'tickets[4].wanted'
    """
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return shown(text) or "the file"


def shown(text: str, longest: int = 60) -> str:
    """Text safe to print on one line: no control characters, cut when long."""
    clean = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return clean if len(clean) <= longest else clean[: longest - 1] + "…"


class _Refused(Exception):
    """Carries one finding's facts out of the event loop."""

    def __init__(self, line: int, expected: str, remedy: str, value: str = "") -> None:
        self.line, self.expected, self.remedy, self.value = line, expected, remedy, value
        super().__init__(expected)


@dataclass
class _Open:
    """A list or mapping still being read; `key` waits for its value."""

    node: list[Plain] | dict[str, Plain]
    path: KeyPath
    key: str | None = None
    key_line: int = 0


class _Builder:
    """Builds plain data from YAML events, one event at a time, within the bounds."""

    def __init__(self) -> None:
        self.root: Plain = None
        self.lines: dict[KeyPath, int] = {}
        self.texts: dict[KeyPath, str] = {}
        self.stack: list[_Open] = []
        self.nodes = self.documents = 0

    def take(self, event: Event) -> None:
        line = event.start_mark.line + 1
        if isinstance(event, DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                raise _Refused(line, "one document in a file", "Remove the `---` and what follows it.")
        elif isinstance(event, NodeEvent):
            self._count(event, line)
            if isinstance(event, ScalarEvent):
                self._scalar(event, line)
            elif isinstance(event, MappingStartEvent):
                self._open({}, line)
            elif isinstance(event, SequenceStartEvent):
                self._open([], line)
        elif isinstance(event, CollectionEndEvent):
            self.stack.pop()

    def _count(self, event: NodeEvent, line: int) -> None:
        if isinstance(event, AliasEvent) or event.anchor is not None:
            raise _Refused(line, "no anchors (&) or aliases (*)", "Write the value out, or quote the text.")
        if getattr(event, "ctag", None) is not None:
            raise _Refused(line, "no tags (!)", "Write the plain value, or quote the text.")
        self.nodes += 1
        if self.nodes > MAX_NODES:
            raise _Refused(line, f"at most {MAX_NODES} values in a file", "Split the night or shorten it.")

    def _open(self, node: list[Plain] | dict[str, Plain], line: int) -> None:
        if len(self.stack) >= MAX_DEPTH:
            raise _Refused(line, f"at most {MAX_DEPTH} levels", "House files need far fewer; check brackets.")
        path = self._place(node, line)
        self.stack.append(_Open(node, path))

    def _scalar(self, event: ScalarEvent, line: int) -> None:
        text = event.value
        if any("\ud800" <= c <= "\udfff" for c in text):
            raise _Refused(line, "readable characters", "Remove the \\u escape.")
        top = self.stack[-1] if self.stack else None
        if top is not None and isinstance(top.node, dict) and top.key is None:
            self._key(top, text, line)
            return
        empty = event.style is None and text in EMPTY_WORDS
        path = self._place(None if empty else text, line)
        self.texts[path] = text

    def _key(self, top: _Open, text: str, line: int) -> None:
        if text == "<<":
            raise _Refused(line, "no merge keys", "Write the values out.", text)
        if text in top.node:
            path = (*top.path, text)
            remedy = f"It stands on line {self.lines[path]} already; remove one."
            raise _Refused(line, "each key once", remedy, text)
        top.key, top.key_line = text, line

    def _place(self, value: Plain, line: int) -> KeyPath:
        """Put a value where it belongs and note its line (its key's, where it has one); returns its path."""
        path: KeyPath = ()
        if not self.stack:
            self.root = value
        else:
            top = self.stack[-1]
            if isinstance(top.node, list):
                path = (*top.path, len(top.node))
                top.node.append(value)
            elif top.key is None:
                raise _Refused(line, "a word as key", "Write `key: value`, one on each line.")
            else:
                path, line = (*top.path, top.key), top.key_line
                top.node[top.key] = value
                top.key = None
        self.lines[path] = line
        return path


def read_yaml(content: bytes, file: str) -> Document:
    """The document in `content`; `file` is the name for messages.

    Raises
    ------
    InputError
        With one finding: too large, not UTF-8, not YAML, a feature that is refused, an empty file,
        or a top level that is not `key: value`.
    """
    builder = _Builder()
    try:
        _build(_decode(content), builder)
    except _Refused as refused:
        value = shown(refused.value)
        finding = Finding(file, refused.line, "the file", value, refused.expected, refused.remedy)
        raise InputError((finding,)) from None
    if not isinstance(builder.root, dict):
        empty = builder.root is None
        expected = "`key: value` lines" if empty else "`key: value` at the top level"
        remedy = (
            "The file is empty; write it or remove it." if empty else "Start with a key, such as `name: ...`."
        )
        raise InputError((Finding(file, 1, "the file", "", expected, remedy),))
    return Document(file, builder.root, builder.lines, builder.texts)


def _decode(content: bytes) -> str:
    if len(content) > MAX_BYTES:
        raise _Refused(0, f"at most {MAX_BYTES // 1000} kB", "Split the file or shorten it.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise _Refused(line, "UTF-8 text", "Save the file as UTF-8.") from None


def _build(text: str, builder: _Builder) -> None:
    try:
        for event in YAML(typ="safe", pure=True).parse(StringIO(text)):
            builder.take(event)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        remedy = f"It cannot be read here: {shown(str(error.problem or error.context))}."
        raise _Refused(mark.line + 1 if mark else 1, "YAML", remedy) from None
    except (YAMLError, ValueError, OverflowError) as error:  # control characters; \U escapes out of range
        raise _Refused(1, "YAML", f"It cannot be read: {shown(str(error), 120)}.") from None
