"""A few elements of a page. Everything that comes from a house or a plan goes in as text and is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def element(name: str, *texts: str, css: str = "") -> str:
    """An element around text; the text is escaped.

    >>> element("p", "5 < 6", css="small")
    '<p class="small">5 &lt; 6</p>'
    """
    return around(name, "".join(map(escape, texts)), css=css)


def around(name: str, inner: str, css: str = "") -> str:
    """An element around finished HTML."""
    return f"<{name}{f' class={chr(34)}{escape(css)}{chr(34)}' if css else ''}>{inner}</{name}>"


def items(texts: Iterable[str], css: str = "") -> str:
    """A plain list of lines of text."""
    return around("ul", "".join(element("li", text) for text in texts), css=css)


def table(head: Sequence[str], rows: Iterable[Sequence[str]], css: str = "") -> str:
    """A table of text; the head repeats on every printed page."""
    top = around("tr", "".join(element("th", cell) for cell in head))
    body = "".join(around("tr", "".join(element("td", cell) for cell in row)) for row in rows)
    return around("table", around("thead", top) + around("tbody", body), css=css)


def section(title: str, *parts: str, css: str = "") -> str:
    """A part of the page under its own heading."""
    return around("section", element("h2", title) + "".join(parts), css=css)
