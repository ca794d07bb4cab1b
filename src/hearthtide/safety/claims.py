"""Words about allergens that are refused, and what is said instead; what bare stone has touched, for good."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from hearthtide.safety.separation import meant

# 21 CFR 101.91: these words are one claim, and it is of less than 20 ppm. EU 828/2014: 20 mg/kg.
GLUTEN_CLAIMS = ("gluten-free", "gluten free", "no gluten", "without gluten", "free of gluten")
SECTION = "21 CFR 101.91; Regulation (EU) No 828/2014"
SAID_INSTEAD = "made without gluten-containing ingredients; baked in an oven shared with wheat flour"


@dataclass(frozen=True)
class Evidence:
    """A house's written procedure for a claim, and the test it stands on."""

    procedure: str
    test_reference: str
    tested_on: date
    below_mg_kg: float


@dataclass(frozen=True)
class Claim:
    """Whether words may be printed, the section, and what is printed in their place."""

    allowed: bool
    section: str
    words: str


def claim(words: str, evidence: Evidence | None) -> Claim:
    """Whether a dish may be told as free of gluten: only by a written procedure with a test below 20 mg/kg.

    Other words are not judged here.

    >>> claim("Gluten-free pizza", None).allowed
    False
    """
    said = " ".join(words.lower().split())
    if not any(one in said for one in GLUTEN_CLAIMS):
        return Claim(True, "", words)
    if evidence is None or not evidence.procedure or evidence.below_mg_kg > 20:
        return Claim(False, SECTION, SAID_INSTEAD)
    return Claim(True, SECTION, words)


def stone_contact(before: frozenset[str], laid: frozenset[str]) -> frozenset[str]:
    """What bare stone has touched: it only grows. Heat and brushing take nothing off a porous stone.

    >>> sorted(stone_contact(frozenset(), frozenset({"wheat"})))
    ['wheat']
    """
    return before | frozenset(one for word in laid for one in meant(word))
