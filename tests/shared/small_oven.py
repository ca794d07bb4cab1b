"""One oven's plain facts for the tests of `oven`, each of which may change what it is about."""

from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.hearth import RoundHearth

DESIGN = OvenDesign(
    name="small oven",
    hearth=RoundHearth(1.2, sill_m=0.5),
    crown=Crown("dome", 0.0, 0.42),
    mouth=Mouth(0.5, 0.24),
    floor=(Layer("fireclay", 0.05), Layer("calcium_silicate", 0.08)),
    walls=(Layer("dense_castable", 0.06), Layer("fibre_blanket", 0.10)),
    burners=(Burner("ribbon", bearing_deg=-45.0, length_m=0.5, standoff_m=0.06),),
    fuel="natural_gas",
    levels=(FlameLevel("low", 2_400), FlameLevel("high", 26_000)),
)
