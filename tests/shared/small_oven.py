"""One oven's plain facts for the tests of `oven`, each of which may change what it is about."""

from hearthtide.oven.design import Burner, FlameLevel, Layer, OvenDesign

DESIGN = OvenDesign(
    name="small oven",
    diameter_m=1.2,
    dome_height_m=0.42,
    mouth_width_m=0.5,
    mouth_height_m=0.24,
    floor=(Layer("fireclay", 0.05), Layer("calcium_silicate", 0.08)),
    dome=(Layer("dense_castable", 0.06), Layer("fibre_blanket", 0.10)),
    burner=Burner(bearing_deg=-45.0, length_m=0.5, standoff_m=0.06, fuel="natural_gas"),
    levels=(FlameLevel("low", 2_400), FlameLevel("high", 26_000)),
)
