"""The records' commands on a file and on a PostgreSQL server alike."""

import json
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url

from at_the_prompt import typed

WINGS = Path(__file__).parents[3] / "examples" / "readings" / "wings.csv"
HOUSES = count(1)


@pytest.fixture(params=["sqlite", "postgresql"])
def kept(request, tmp_path):
    """Where a house's records are kept; nothing is there yet."""
    if request.param == "sqlite":
        return str(tmp_path / "records.db")
    address, house = request.getfixturevalue("server"), f"house_{next(HOUSES)}"
    engine = create_engine(
        make_url(address).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT"
    )
    with engine.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {house}"))
    engine.dispose()
    return address.replace("/postgres?", f"/{house}?")


def done(*words):
    typed_so = typed("records", *words)
    assert typed_so.returncode == 0, typed_so.stderr
    return typed_so.stdout


def test_records_are_added_found_checked_exported_printed_and_verified(kept, tmp_path):
    assert "5 written" in done("add", kept, WINGS)
    assert "0 written" in done("add", kept, WINGS)
    assert "70 °F" in done("find", kept, "wings", "--day", "2026-06-02")
    head = json.loads(done("check", kept, "--json"))["head"]
    assert head.startswith("5:")
    done("check", kept, "--head", head)
    table, whole = tmp_path / "out.csv", tmp_path / "out.json"
    done("export", kept, "--csv", table, "--json", whole)
    assert len(table.read_text(encoding="utf-8").splitlines()) == 6
    body = json.loads(whole.read_text(encoding="utf-8"))
    assert body["head"] == head and len(body["chain"]) == 5
    made = tmp_path / "wings.pdf"
    done("print", kept, made, "wings", "--rules", "us-fda-2022", "--as", "cooled")
    assert "It agrees with the records" in done("verify", made, kept)
