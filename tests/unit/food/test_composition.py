import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.composition import (
    Composition,
    conductivity_W_mK,
    density_kg_m3,
    dispersed_W_mK,
    dry_heat_capacity_J_kgK,
    heat_capacity_J_kgK,
    pore_vapour_W_mK,
)

WATER = Composition(water=1, protein=0, fat=0, carbohydrate=0, fibre=0, ash=0)
BEEF = Composition(water=0.72, protein=0.22, fat=0.05, carbohydrate=0, fibre=0, ash=0.01)


@pytest.mark.parametrize("fat", [0.5, -0.1])
def test_fractions_must_add_up_and_not_be_negative(fat):
    with pytest.raises(PhysicalRangeError, match="sum of 1"):
        Composition(water=0.9, protein=0, fat=fat, carbohydrate=0, fibre=0, ash=0)


def test_gas_takes_its_share_of_density():
    assert density_kg_m3(BEEF, 20, 0.75) == pytest.approx(density_kg_m3(BEEF, 20) / 4)


@pytest.mark.parametrize("porosity", [-0.1, 1.0])
def test_porosity_outside_its_range_is_refused(porosity):
    with pytest.raises(PhysicalRangeError, match="porosity"):
        density_kg_m3(BEEF, 20, porosity)


def test_temperature_outside_the_polynomials_is_refused():
    with pytest.raises(PhysicalRangeError, match="200"):
        heat_capacity_J_kgK(BEEF, 200)


def test_dry_and_wet_heat_capacity_make_the_whole():
    water = 0.72 * heat_capacity_J_kgK(WATER, 60)
    assert dry_heat_capacity_J_kgK(BEEF, 60) + water == pytest.approx(heat_capacity_J_kgK(BEEF, 60))


def test_dispersed_phase_at_its_limits_is_one_of_the_two():
    assert dispersed_W_mK(0.6, 0.2, 0.0) == pytest.approx(0.6)
    assert dispersed_W_mK(0.6, 0.2, 1.0) == pytest.approx(0.2)


def test_gas_lowers_conductivity_and_vapour_in_pores_raises_it_with_heat():
    assert conductivity_W_mK(BEEF, 60, 0.5) < conductivity_W_mK(BEEF, 60)
    assert pore_vapour_W_mK(0.0, 60) == 0
    assert pore_vapour_W_mK(0.5, 30) < pore_vapour_W_mK(0.5, 60) < pore_vapour_W_mK(0.5, 80)
    with pytest.raises(PhysicalRangeError, match="temperature"):
        pore_vapour_W_mK(0.5, 99)
