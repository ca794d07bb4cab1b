"""Whatever is sent to the API by its own description: no mistake of ours, answers of the shapes described."""

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from live_board import LiveBoard

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
# The stream has no end: `tests/scenario/board` reads it.
PATHS = {
    ("GET", "/api/closing"),
    ("POST", "/api/codes"),
    ("POST", "/api/commands"),
    ("GET", "/api/day"),
    ("GET", "/api/devices"),
    ("POST", "/api/devices"),
    ("DELETE", "/api/devices/{name}"),
    ("GET", "/api/events"),
    ("GET", "/api/feeds"),
    ("POST", "/api/feeds"),
    ("DELETE", "/api/feeds/{name}"),
    ("GET", "/api/house"),
    ("POST", "/api/lines"),
    ("GET", "/api/lots"),
    ("GET", "/api/lots/{lot}"),
    ("GET", "/api/people"),
    ("POST", "/api/people"),
    ("POST", "/api/quotes"),
    ("GET", "/api/records"),
    ("POST", "/api/records"),
    ("POST", "/api/records/corrections"),
    ("GET", "/api/records/open"),
    ("GET", "/api/records/print"),
    ("GET", "/api/records/table"),
    ("GET", "/api/replay"),
    ("POST", "/api/sessions"),
    ("DELETE", "/api/sessions"),
    ("GET", "/api/shown"),
    ("GET", "/api/state"),
    ("POST", "/api/tables"),
    ("POST", "/api/tickets"),
    ("GET", "/health"),
}


@pytest.fixture(scope="module")
def board(tmp_path_factory):
    one = LiveBoard(tmp_path_factory.mktemp("any"))
    yield one
    one.database.close()


@pytest.fixture(scope="module")
def operations(board):
    headers = {"Authorization": f"Bearer {board.session('Ana')}"}
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", board.app, headers=headers)
    schema = schema.exclude(path="/api/stream")
    found = [one.ok() for one in schema.get_all_operations()]
    return {(one.method.upper(), one.path): one for one in found}


def test_every_way_in_is_tried(operations):
    assert set(operations) == PATHS


@pytest.mark.parametrize("way", sorted(PATHS), ids="".join)
def test_any_request_is_answered_as_described(board, operations, way):
    @given(case=operations[way].as_strategy())
    @settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
    def any_request(case):
        token = board.session("Ana")
        case.call_and_validate(headers={"Authorization": f"Bearer {token}"}, checks=CHECKS)
        board.wall_s += 600  # guesses are slowed: here each is made ten minutes after the one before

    any_request()


def test_some_of_it_reached_the_night(board):
    """Or the requests above were all refused at the door and tried nothing."""
    assert board.night.state.seq > 0
