"""The rules a house goes by, written into its records: a print is verified by those of its day."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from hearthtide.safety.rules import RuleSet
from hearthtide.service.records.chain import TEXT
from hearthtide.service.records.entries import Record, RulesChosen
from hearthtide.service.records.search import parsed

NOTED = '"kind":"rules"'  # stands in the text of such an entry and of no other


def rules_sha256(rules: RuleSet | None) -> str:
    """The hash that prints bear: of the rules, every own one of the house among them; empty for none."""
    return "" if rules is None else hashlib.sha256(repr(rules).encode()).hexdigest()


def rules_entry(rules: RuleSet) -> RulesChosen:
    """What is written down of the rules."""
    return RulesChosen(rules.id, rules.named, rules_sha256(rules), rules)


def last_noted(records: Iterable[Record]) -> str:
    """The hash of the rules that were written down last; empty where none were."""
    return next((r.body.sha256 for r in reversed(tuple(records)) if isinstance(r.body, RulesChosen)), "")


def noted_rules(bodies: Iterable[str], sha256: str) -> RuleSet | None:
    """Of all entries' bodies the rules of a hash, as they were written down; None where they were not."""
    kept = {seq: body[TEXT:] for seq, body in enumerate(bodies, 1) if NOTED in body and sha256 in body}
    for record in parsed(kept):
        body = record.body
        if isinstance(body, RulesChosen) and rules_sha256(body.rules) == sha256:
            return body.rules
    return None
