"""From an oven as written to the oven as the model takes it: shape, shares of the power, flames in watts."""

from __future__ import annotations

from hearthtide.house.oven_file import BurnerFile, FlameFile, LayerFile, OvenFile
from hearthtide.oven.design import Burner, Crown, FlameLevel, Flue, Layer, Mouth, OvenDesign
from hearthtide.oven.hearth import Hearth, RectangularHearth, RoundHearth

RIBBON_BREADTH_M = 0.04  # common practice, no source
WOOD_MOISTURE = 0.18  # water per wet mass of wood stored dry (common practice, no source)
USUAL_SPLIT_KG = 1.0  # one piece of wood (own choice: the size that the fire's time constants are meant for)
# Net calorific value of a metered cubic metre, dry at 15 °C and 1013.25 mbar, J/m³. Propane: 88.0, EN 437
# test gas G31 (from memory, not re-read; the mixtures G23 and G24 of its table 2 give 34.0 for methane and
# 87.7 for propane). Natural gas: own choice within the 37.5-43.0 gross that National Grid states for its
# network, of which the net value is about 0.9 (from memory, not re-read).
METERED_J_m3 = {"natural_gas": 36.0e6, "propane": 88.0e6}


def hearth_of(oven: OvenFile) -> Hearth:
    """The hearth's outline; ValueError without the lengths that its shape needs."""
    if oven.shape == "round" and oven.diameter is not None:
        return RoundHearth(oven.diameter, sill_m=oven.mouth_width)
    if oven.shape == "rectangular" and oven.width is not None and oven.depth is not None:
        return RectangularHearth(oven.width, oven.depth)
    raise ValueError("a round hearth has a diameter, a rectangular one a width and a depth")


def crown_of(oven: OvenFile) -> Crown:
    """What closes the oven above."""
    return Crown(oven.crown, oven.wall_height, oven.crown_rise or 0.0)


def burner_shares(burners: tuple[BurnerFile, ...]) -> tuple[float, ...]:
    """Each burner's share of the power.

    Those without a share of their own split what is left: equally by burner, and among the ribbons by length.
    """
    open_ = [burner for burner in burners if burner.share is None]
    left = 1.0 - sum(burner.share for burner in burners if burner.share is not None)
    ribbons = [burner for burner in open_ if burner.kind == "ribbon"]
    ribbons_m = sum(burner.length or 0.0 for burner in ribbons)

    def share(burner: BurnerFile) -> float:
        if burner.share is not None:
            return burner.share
        if burner.kind != "ribbon":
            return left / len(open_)
        return left * len(ribbons) / len(open_) * (burner.length or 0.0) / ribbons_m

    return tuple(share(burner) for burner in burners)


def burner_of(burner: BurnerFile, share: float = 1.0) -> Burner:
    """One burner, its breadth across the line or the diameter of a round one."""
    across = burner.diameter if burner.kind in ("cluster", "bed") else burner.breadth
    return Burner(
        kind=burner.kind,
        bearing_deg=burner.bearing or 0.0,
        length_m=burner.length or 0.0,
        breadth_m=RIBBON_BREADTH_M if across is None else across,
        standoff_m=burner.standoff or 0.0,
        share=share,
    )


def burners_of(oven: OvenFile) -> tuple[Burner, ...]:
    """All burners; their shares add up to one."""
    shares = burner_shares(oven.burners)
    return tuple(burner_of(burner, share) for burner, share in zip(oven.burners, shares, strict=True))


def power_W(flame: FlameFile, oven: OvenFile, burners: tuple[Burner, ...]) -> float:
    """A flame's heat release on the net calorific value.

    Raises
    ------
    ValueError
        The flame has none of its keys, or one that its fuel or its burners do not know.
    PhysicalRangeError
        A height that no flame on these burners has.
    """
    if flame.power is not None:
        return flame.power
    if flame.meter is not None and oven.fuel != "wood":
        return METERED_J_m3[oven.fuel] * flame.meter.gas / flame.meter.over
    if flame.wood is not None and oven.fuel == "wood":
        from hearthtide.heat.wood import fed_power_W

        return fed_power_W(flame.wood, moisture_of(oven))
    fires = tuple(burner for burner in burners if burner.kind != "under")
    if flame.height is not None and fires:
        return min(_alone_W(flame.height, burner) / burner.share for burner in fires)
    raise ValueError(f"{flame.name}: expected one of power, height, wood (for wood) and meter (for gas)")


def _alone_W(height_m: float, burner: Burner) -> float:
    """What one burner gives when its own flame stands that high."""
    from hearthtide.heat.flames import line_flame_power_W, round_flame_power_W

    if burner.kind == "ribbon":
        return line_flame_power_W(height_m, burner.length_m, against_wall=True)
    return round_flame_power_W(height_m, burner.breadth_m)


def moisture_of(oven: OvenFile) -> float:
    """Water per wet mass of the wood."""
    return WOOD_MOISTURE if oven.moisture is None else oven.moisture


def split_of(oven: OvenFile) -> float:
    """Usual weight of a split, kg."""
    return USUAL_SPLIT_KG if oven.split is None else oven.split


def design_of(oven: OvenFile) -> OvenDesign:
    """The oven as the model takes it. Raises as `hearth_of` and `power_W` do for what the checks refuse."""
    burners = burners_of(oven)
    return OvenDesign(
        name=oven.name,
        hearth=hearth_of(oven),
        crown=crown_of(oven),
        mouth=_mouth(oven),
        floor=_layers(oven.floor),
        walls=_layers(oven.dome),
        burners=burners,
        fuel=oven.fuel,
        levels=tuple(FlameLevel(flame.name, power_W(flame, oven, burners)) for flame in oven.flames),
        flue=Flue(oven.flue.place, oven.flue.diameter, oven.flue.height) if oven.flue else Flue(),
        moisture=moisture_of(oven),
    )


def _mouth(oven: OvenFile) -> Mouth:
    if oven.door is None:
        return Mouth(oven.mouth_width, oven.mouth_height)
    return Mouth(oven.mouth_width, oven.mouth_height, _layers(oven.door.layers), oven.door.gap)


def _layers(layers: tuple[LayerFile, ...]) -> tuple[Layer, ...]:
    return tuple(Layer(layer.material, layer.thickness) for layer in layers)
