"""A thermometer checked where the temperature is known: ice slush, or water that boils at the house's height.

A check that fails takes passes away that would flip by its error, back to the last good one. It
makes no pass.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from typing import Literal

from pydantic.dataclasses import dataclass

from hearthtide.safety.readings import STRICT, Reading, Unit
from hearthtide.safety.rules import ProbeCheck, RuleSet
from hearthtide.safety.verdicts import Verdict

Scale = Literal["C", "F", "both"]
ICE_C = Decimal(0)


@dataclass(frozen=True, config=STRICT)
class Checked:
    """A check as it was done: what the thermometer showed, and what it should have shown, in °`unit`."""

    id: str
    instrument: str
    at: datetime
    person: str
    shown: Decimal
    reference: Decimal
    unit: Unit
    scale: Scale

    @property
    def off(self) -> Decimal:
        """How much too high it shows, in its unit."""
        return self.shown - self.reference


def check_verdict(rules: RuleSet, checked: Checked) -> Verdict:
    """Whether a thermometer is as close as the set asks: by its °F limit if it shows °F only, else by °C."""
    rule = next(iter(rules.of(ProbeCheck)), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, "the set states no closeness for a thermometer")
    off_C = abs(checked.off) if checked.unit == "C" else abs(checked.off) * 5 / 9
    if checked.scale == "F":
        off, limit, unit = off_C * 9 / 5, rule.off_F, "F"
    else:
        off, limit, unit = off_C, rule.off_C, "C"
    words = (
        f"{checked.instrument} is {off.quantize(Decimal('0.01'))} °{unit} off, {limit} °{unit} is the limit"
    )
    return Verdict("pass" if off <= limit else "fail", rule.id, rule.cited, words, (checked.id,))


def as_if_off(
    readings: tuple[Reading, ...], failed: Checked, since: datetime | None, until: datetime | None = None
) -> tuple[Reading, ...]:
    """Readings from a thermometer's last good check to its next, its error out: what they may have been.

    What was recorded is not altered; a verdict that passes on the readings and not on these is unproven.
    """

    def doubted(one: Reading) -> bool:
        after = since is None or one.at > since
        return one.instrument == failed.instrument and after and (until is None or one.at < until)

    return tuple(
        replace(one, value=one.value - _in_unit(failed.off, failed.unit, one.unit)) if doubted(one) else one
        for one in readings
    )


def _in_unit(off: Decimal, unit: Unit, wanted: Unit) -> Decimal:
    if unit == wanted:
        return off
    return off * 9 / 5 if wanted == "F" else off * 5 / 9


def taken_back(found: Verdict, as_off: Verdict, failed: Checked) -> Verdict:
    """A verdict once a thermometer it stands on has failed its check: a pass that flips is unproven.

    Nothing but a pass changes.
    """
    if not found.passes or as_off.passes:
        return found
    words = f"{failed.instrument} failed its check ({failed.off} °{failed.unit}); {found.words}"
    return replace(found, answer="unproven", words=words)


def boiling_C(height_m: float) -> float:
    """Where water boils at a height above the sea, in the standard atmosphere: -500 to 5,000 m.

    Pressure by the US Standard Atmosphere 1976, troposphere; temperature by the Antoine equation, its
    constants for 344 to 373 K (both from memory; a published table is the test). The weather moves it by
    half a degree.

    Raises ValueError for a height beyond that.
    """
    if not -500 <= height_m <= 5000:
        raise ValueError(f"expected a height from -500 to 5000 m, found {height_m:g} m")
    pressure_bar = 1.01325 * (1 - 2.25577e-5 * height_m) ** 5.25588
    return 1663.125 / (5.08354 - math.log10(pressure_bar)) + 45.622 - 273.15


def boiling_reference(height_m: float, unit: Unit) -> Decimal:
    """What a thermometer should show in boiling water at that height, to a tenth of a degree.

    >>> boiling_reference(0, "C"), boiling_reference(1500, "F")
    (Decimal('100.0'), Decimal('203.0'))
    """
    at_C = Decimal(f"{boiling_C(height_m):.1f}")
    return at_C if unit == "C" else (at_C * 9 / 5 + 32).quantize(Decimal("0.1"))
