"""Every error of the API in one shape, with the status that says what to do next."""

from __future__ import annotations

import math

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from hearthtide.board.access import NotAllowed, NotLetIn
from hearthtide.board.guard import HEADERS
from hearthtide.board.said import Trouble, Wrong, wrong_of
from hearthtide.errors import InputError, StoreError
from hearthtide.house.yaml_lines import shown
from hearthtide.service.quoting import NoQuote


def add_troubles(app: FastAPI) -> None:
    """Has the application tell all it refuses as `Trouble`."""

    @app.exception_handler(NotLetIn)
    def not_let_in(_: Request, err: NotLetIn) -> JSONResponse:
        if err.wait_s <= 0:
            return _told(401, err.words, headers={"WWW-Authenticate": "Bearer"})
        return _told(429, err.words, headers={"Retry-After": str(math.ceil(err.wait_s))})

    @app.exception_handler(NotAllowed)
    def not_allowed(_: Request, err: NotAllowed) -> JSONResponse:
        return _told(403, str(err))

    @app.exception_handler(InputError)
    def not_understood(_: Request, err: InputError) -> JSONResponse:
        return _told(422, str(err.findings[0]), tuple(map(wrong_of, err.findings)))

    @app.exception_handler(RequestValidationError)
    def out_of_bounds(_: Request, err: RequestValidationError) -> JSONResponse:
        findings = tuple(
            Wrong(
                field=".".join(str(step) for step in one["loc"][1:]) or str(one["loc"][0]),
                value=shown(str(one.get("input", ""))),
                expected=one["msg"],
                remedy="Correct it; /api/openapi.json says what is meant.",
            )
            for one in err.errors()
        )
        return _told(422, f"{findings[0].field}: {findings[0].expected}.", findings)

    @app.exception_handler(StoreError)
    def not_kept(_: Request, err: StoreError) -> JSONResponse:
        return _told(503, str(err), headers={"Retry-After": "1"})

    @app.exception_handler(NoQuote)
    def no_quote(_: Request, err: NoQuote) -> JSONResponse:
        return _told(503, str(err), headers={"Retry-After": "3"})

    @app.exception_handler(Exception)
    def mistaken(_: Request, err: Exception) -> JSONResponse:
        # Told from outside the guard, which sets the headers of all other answers.
        words = "The board made a mistake; its own log says more. Tell it again."
        return _told(500, words, headers=HEADERS)

    @app.exception_handler(HTTPException)
    def not_there(_: Request, err: HTTPException) -> JSONResponse:
        return _told(err.status_code, f"{err.detail}.", headers=dict(err.headers or {}))


def _told(
    status: int, words: str, findings: tuple[Wrong, ...] = (), headers: dict[str, str] | None = None
) -> JSONResponse:
    trouble = Trouble(words=words, findings=findings)
    return JSONResponse(trouble.model_dump(mode="json"), status, headers=headers)
