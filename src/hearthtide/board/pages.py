"""The screens' own files, as they were built into the package: read once, answered from memory.

Files under /assets are named by their content and kept by a browser for good; the others are asked for again.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response
from starlette.exceptions import HTTPException

STATIC = Path(__file__).with_name("static")
STAMP = "stamp"  # the build's own, told to nobody
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
POLICY = "default-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; object-src 'none'"
FOR_GOOD, ASK_AGAIN = "public, max-age=31536000, immutable", "no-cache"
NOT_BUILT = "The screens are not built into this copy of Hearthtide. Install it anew: `make run`, or a wheel"


def add_pages(app: FastAPI, static: Path = STATIC) -> None:
    """Has the application answer the files below `static`, `index.html` at the root."""
    kept = {_address(path.relative_to(static)): path for path in static.rglob("*") if path.name != STAMP}
    for address, path in kept.items():
        if path.is_file():
            app.add_route(
                address, _answering(path.read_bytes(), _headers(address, path)), include_in_schema=False
            )
    if "/" not in kept:

        @app.get("/", include_in_schema=False)
        def not_built() -> None:
            raise HTTPException(503, NOT_BUILT)


def _answering(body: bytes, headers: dict[str, str]) -> Callable[[Request], Response]:
    def answer(_: Request) -> Response:
        return Response(body, headers=headers)

    return answer


def _address(place: Path) -> str:
    return "/" if place.name == "index.html" else f"/{place.as_posix()}"


def _headers(address: str, path: Path) -> dict[str, str]:
    return {
        "Content-Type": TYPES[path.suffix],
        "Content-Security-Policy": POLICY,
        "Cache-Control": FOR_GOOD if address.startswith("/assets/") else ASK_AGAIN,
    }
