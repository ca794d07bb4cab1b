"""Words about allergens that are refused, and what is said instead; what bare stone has touched, for good."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass as plain
from datetime import date

from pydantic.dataclasses import dataclass

from hearthtide.safety.readings import STRICT
from hearthtide.safety.separation import Dish, all_meant, meant

# 21 CFR 101.91: below 20 ppm, whatever words it is claimed in; EU 828/2014: 20 mg/kg at most. The stricter.
BELOW_MG_KG = 20.0
# What speaks of gluten or of those who may not have it, in the languages of the screens and a few more.
SPEAKS_OF_IT = re.compile(r"glut[ei]n|\bgf\b|co?eliac|celiac|celiach|c[eé]liaqu|z[oö]liak")
# Words that say it is in there claim nothing.
SAYS_IT_IS_IN = re.compile(r"^(contains|contiene|contient|enth[aä]lt)\b(?!.*\b(no|sin|senza|sans|kein))")
SECTION = "21 CFR 101.91; Regulation (EU) No 828/2014"
# Flour hangs in the air of a hearth kitchen and reaches what stands in a pan (common practice, no source).
FLOURS = frozenset({"wheat", "rye", "barley", "oats"})
SAID_INSTEAD = "made without gluten-containing ingredients; baked in an oven shared with wheat flour"


@dataclass(frozen=True, config=STRICT)
class Evidence:
    """A house's written procedure for a claim, and the test it stands on."""

    procedure: str
    test_reference: str
    tested_on: date
    below_mg_kg: float

    def holds(self, today: date) -> bool:
        """Whether it is whole: a procedure, a test that has been made, and its number below the limit."""
        named = bool(self.procedure.strip() and self.test_reference.strip())
        return named and self.tested_on <= today and 0 <= self.below_mg_kg < BELOW_MG_KG


@plain(frozen=True)
class Claim:
    """Whether words may be printed, the section, and what is printed in their place."""

    allowed: bool
    section: str
    words: str


def claim(words: str, evidence: Evidence | None, today: date) -> Claim:
    """Whether words about gluten may be printed: only by a written procedure with a test below 20 mg/kg.

    Any words that speak of gluten and do not say that it is in there count as a claim: rather one refused too
    often. Other words are not judged here.

    >>> claim("Gluten-free pizza", None, date(2026, 6, 2)).allowed
    False
    """
    said = " ".join(unicodedata.normalize("NFKC", words).casefold().split())
    if said == SAID_INSTEAD or not SPEAKS_OF_IT.search(said) or SAYS_IT_IS_IN.search(said):
        return Claim(True, "", words)
    if evidence is None or not evidence.holds(today):
        return Claim(False, SECTION, SAID_INSTEAD)
    return Claim(True, SECTION, words)


def stone_contact(before: frozenset[str], laid: frozenset[str]) -> frozenset[str]:
    """What bare stone has touched: it only grows. Heat and brushing take nothing off a porous stone.

    >>> sorted(stone_contact(frozenset(), frozenset({"wheat"})))
    ['wheat']
    """
    return before | frozenset(one for word in laid for one in meant(word))


def may_have_touched(dish: Dish, on_stone: frozenset[str]) -> tuple[str, ...]:
    """What a dish may have touched: what its file says, and what the stone of its oven has met for good.

    Food on bare stone meets all that ever lay there; food in a vessel the flour of it.
    """
    reach = on_stone if dish.vessel.kind == "stone" else on_stone & FLOURS
    known = all_meant((*dish.allergens.contains, *dish.allergens.may_contact))
    return (*dish.allergens.may_contact, *sorted(reach - known))
