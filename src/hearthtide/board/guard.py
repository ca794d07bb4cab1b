"""What every request passes: only our own names for this machine, no body without end, plain headers."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 1_000_000  # of a request's body, as of a file; own choice
HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
}


class Guard:
    """Wraps the application; `names` are the host names it answers to, in small letters."""

    def __init__(self, app: ASGIApp, names: frozenset[str]) -> None:
        self.app, self.names = app, names

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        read = 0

        async def bounded() -> Message:
            nonlocal read
            message = await receive()
            read += len(message.get("body", b""))
            if read > MOST_BYTES:
                words = f"That is longer than {MOST_BYTES // 1000} kB. Send less at once"
                raise HTTPException(413, words)
            return message

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                kept = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    kept.setdefault(name, value)
            await send(message)

        if _host(headers.get(b"host", b"").decode("latin-1")) not in self.names:
            # Another name is a page elsewhere that points here.
            trouble = JSONResponse({"words": "This board does not answer to that name.", "findings": []}, 421)
            await trouble(scope, receive, with_headers)
            return
        await self.app(scope, bounded, with_headers)


def _host(header: str) -> str:
    """The name in a Host header, without its port."""
    host = header.strip().lower()
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0]
