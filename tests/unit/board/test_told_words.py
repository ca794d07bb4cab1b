"""The screens' words for what rules and entries say are of sentences that the program still says."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import get_args

import pytest

from hearthtide.safety.states import Proof
from hearthtide.service.records.entries import Body

ROOT = Path(__file__).parents[3]
TOLD = (ROOT / "web" / "src" / "words" / "told.ts").read_text(encoding="utf-8")
ENGLISH = {
    key: text.replace("\\'", "'")
    for key, _, text in re.findall(r"""'([a-z_.-]+)': \{ en: (['"])((?:\\.|(?!\2).)*)\2""", TOLD)
}
SAYS = ("safety", "service/records")


def said(node: ast.AST) -> str | None:
    """A string as it stands in the program, each value a mark."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(
            part.value if isinstance(part, ast.Constant) and isinstance(part.value, str) else "\0"
            for part in node.values
        )
    return None


def program() -> str:
    """Every string of the rooms that judge and keep; other values stand as a mark."""
    files = [file for room in SAYS for file in (ROOT / "src" / "hearthtide" / room).glob("*.py")]
    found = (said(node) for file in files for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))))
    rules = (ROOT / "src" / "hearthtide" / "data" / "rules" / "us-fda-2022.yaml").read_text(encoding="utf-8")
    return "\n".join([*(one for one in found if one is not None), " ".join(rules.split())])


def test_there_are_messages() -> None:
    assert len([key for key in ENGLISH if key.startswith("told.")]) > 80


@pytest.mark.parametrize("key", [key for key in ENGLISH if key.startswith("told.")])
def test_a_message_s_english_is_what_the_program_says(key: str) -> None:
    whole = program()
    for part in re.split(r"\{\w+\}", ENGLISH[key]):
        words = part.strip(" ,:;.")
        assert len(words) < 3 or words in whole, words


def test_every_proof_and_every_kind_of_entry_has_its_word() -> None:
    proofs = {key[6:].replace("_", " ") for key in ENGLISH if key.startswith("proof.")}
    assert proofs == {*get_args(Proof), "kept cold", "read in the cold"}
    kinds = {key[5:].replace("_", " ") for key in ENGLISH if key.startswith("kind.")}
    assert kinds == {one.kind for one in get_args(get_args(Body)[0])}
