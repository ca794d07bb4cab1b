"""Flow through one opening of a hot enclosure that holds two layers of gas, and the plume between them.

The opening is a rectangle from the floor (z = 0) to its soffit (z = `height_m`). Outside is air at
`room_C`; inside, gas at `lower_C` below `interface_m` and at `upper_C` above it. Every gas has the density
of air at 1 atm and its own temperature. The pressure inside minus outside is linear in each layer, and gas
leaves or enters at each height with the speed sqrt(2 |dp| / density of the flowing gas) (Karlsson and
Quintiere, Enclosure Fire Dynamics, 2000, chapter 5; from memory, not re-read).

The compiled functions check nothing: `mouth_flow` refuses what they are not made for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from hearthtide.compiled import compiled
from hearthtide.heat.radiation import ZERO_C_K, blackbody_W_m2
from hearthtide.ranges import require

# Density of dry air at 1 atm times kelvin: 101325 Pa x 0.0289647 kg/mol / 8.314463 J/molK (ideal gas law;
# molar mass from memory, not re-read).
AIR_kg_K_m3 = 352.98
# Standard acceleration of gravity (CGPM 1901; from memory, not re-read).
GRAVITY_m_s2 = 9.80665
# Flow coefficient of a doorway when the speeds come from temperatures: 0.69 on average (Bryant, Proc.
# Combustion Institute 33 (2011) 2481, abstract); 0.68 to 0.70 is usual.
DISCHARGE = 0.69
# Heskestad's plume, in kW, m and kg/s. In the flame 0.0056 Qc z / L and above it
# 0.071 Qc^(1/3) (z - z0)^(5/3) + 0.0018 Qc (Karlsson and Quintiere 2000, eq. 4.27, seen as coded in an open
# library, where the last factor reads 0.00192; NFPA 92 prints 0.0018, from memory, not re-read).
FLAME_kg_kJ, PLUME_kg_s, PLUME_kg_kJ = 0.0056, 0.071, 0.0018
# z0 is set so that the two meet at the flame's tip: L - z0 = 0.1725 Qc^(2/5) (own choice, for continuity).
# Heskestad's own z0 = 0.083 Q^(2/5) - 1.02 D and L = 0.235 Q^(2/5) - 1.02 D (eqs. 4.23 and 4.3 there) give
# 0.175 Qc^(2/5) when 30 % is radiated.
TIP_m = ((FLAME_kg_kJ - PLUME_kg_kJ) / PLUME_kg_s) ** 0.6
# Velocity heads a flue spends: 1 / C^2 of the coefficient C = 0.65 to 0.70 usual for chimneys (public
# engineering pages on the stack effect); 0.674 inside that range is our own choice.
FLUE_LOSS = 2.2
# Air that a fully burning enclosure can draw, kg/s per m^(5/2) (FDS Validation Guide, summary chapter).
VENT_LIMIT_kg_s_m52 = 0.5
# Steps of the bracketed searches; they stop long before, when the flows balance to this share (own choice).
STEPS, BALANCE = 120, 1e-12


@compiled
def _density(temperature_C: float) -> float:
    return AIR_kg_K_m3 / (temperature_C + ZERO_C_K)


@compiled
def _root_integral(low_Pa: float, high_Pa: float, length_m: float) -> tuple[float, float]:
    """Integrals of sqrt(dp) where dp > 0 and of sqrt(-dp) where dp < 0, for dp linear over a length.

    (p1^(3/2) - p2^(3/2)) / (p1 - p2) is written without the difference, so that equal densities are safe.
    """
    a, b = math.sqrt(abs(low_Pa)), math.sqrt(abs(high_Pa))
    if a + b == 0.0:
        return 0.0, 0.0
    if min(low_Pa, high_Pa) < 0.0 < max(low_Pa, high_Pa):
        share = abs(low_Pa) / (abs(low_Pa) + abs(high_Pa))
        near, far = 2 / 3 * length_m * share * a, 2 / 3 * length_m * (1 - share) * b
        return (near, far) if low_Pa > 0.0 else (far, near)
    whole = 2 / 3 * length_m * (a * a + a * b + b * b) / (a + b)
    return (whole, 0.0) if low_Pa + high_Pa > 0.0 else (0.0, whole)


@compiled
def _flows(
    width_m: float,
    height_m: float,
    interface_m: float,
    floor_Pa: float,
    room: float,
    lower: float,
    upper: float,
) -> tuple[float, float, float]:
    """Inflow and outflow of both layers (kg/s) at a pressure difference on the floor; densities kg/m3.

    `width_m` has the flow coefficient in it.
    """
    middle_Pa = floor_Pa + GRAVITY_m_s2 * (room - lower) * interface_m
    soffit_Pa = middle_Pa + GRAVITY_m_s2 * (room - upper) * (height_m - interface_m)
    out_lower, in_lower = _root_integral(floor_Pa, middle_Pa, interface_m)
    out_upper, in_upper = _root_integral(middle_Pa, soffit_Pa, height_m - interface_m)
    inflow = width_m * math.sqrt(2 * room) * (in_lower + in_upper)
    return inflow, width_m * math.sqrt(2 * lower) * out_lower, width_m * math.sqrt(2 * upper) * out_upper


@compiled
def _closer(
    a: float, of_a: float, b: float, of_b: float, x: float, of_x: float
) -> tuple[float, float, float, float]:
    """The bracket (a, b) narrowed by x: regula falsi with the weights of Anderson and Bjorck.

    BIT 13 (1973) 253 (from memory, not re-read), halved where theirs are under 0.1 (own choice: a smaller one
    sends the next try back to a). b is the newest point.
    """
    if (of_x < 0.0) != (of_b < 0.0):
        return b, of_b, x, of_x
    weight = 1 - of_x / of_b
    return a, of_a * (weight if weight > 0.1 else 0.5), x, of_x


@compiled
def _between(a: float, of_a: float, b: float, of_b: float, step: int) -> float:
    """The next point to try: some halve the bracket, so that no kink in a curve can stall the search."""
    if step % 4 == 3 or (step > 20 and step % 2 == 1):
        return 0.5 * (a + b)
    return min(max(b - of_b * (b - a) / (of_b - of_a), min(a, b)), max(a, b))


@compiled
def _floor_Pa(
    width_m: float,
    height_m: float,
    interface_m: float,
    room: float,
    lower: float,
    upper: float,
    fuel_kg_s: float,
    flue_kg_s: float,
) -> float:
    """Pressure difference on the floor at which as much leaves as comes in; densities kg/m3.

    What leaves less what enters grows with the pressure, also when a cold layer gives two neutral heights.
    """
    middle_Pa = GRAVITY_m_s2 * (room - lower) * interface_m
    soffit_Pa = middle_Pa + GRAVITY_m_s2 * (room - upper) * (height_m - interface_m)
    # At `a` the whole opening draws in at least what the flue takes, at `b` it lets out at least the fuel.
    sucked_Pa = (flue_kg_s / (width_m * height_m)) ** 2 / (2 * room)
    blown_Pa = (fuel_kg_s / (width_m * height_m)) ** 2 / (2 * min(lower, upper))
    a = -max(0.0, middle_Pa, soffit_Pa) - sucked_Pa
    b = -min(0.0, middle_Pa, soffit_Pa) + blown_Pa
    inflow, low, high = _flows(width_m, height_m, interface_m, a, room, lower, upper)
    of_a = low + high + flue_kg_s - inflow - fuel_kg_s
    if of_a >= 0.0:
        return a
    inflow, low, high = _flows(width_m, height_m, interface_m, b, room, lower, upper)
    of_b = low + high + flue_kg_s - inflow - fuel_kg_s
    if of_b <= 0.0:
        return b
    for step in range(STEPS):
        x = _between(a, of_a, b, of_b, step)
        inflow, low, high = _flows(width_m, height_m, interface_m, x, room, lower, upper)
        of_x = low + high + flue_kg_s - inflow - fuel_kg_s
        if abs(of_x) <= BALANCE * (inflow + fuel_kg_s) or 0.5 * (a + b) in (a, b):
            return x
        a, of_a, b, of_b = _closer(a, of_a, b, of_b, x, of_x)
    return b


@compiled
def _neutral(
    height_m: float, interface_m: float, floor_Pa: float, room: float, lower: float, upper: float
) -> float:
    """The highest height where the pressure difference is nil, within the opening; densities kg/m3."""
    middle_Pa = floor_Pa + GRAVITY_m_s2 * (room - lower) * interface_m
    soffit_Pa = middle_Pa + GRAVITY_m_s2 * (room - upper) * (height_m - interface_m)
    if middle_Pa <= 0.0 < soffit_Pa:
        return interface_m + (height_m - interface_m) * middle_Pa / (middle_Pa - soffit_Pa)
    if min(floor_Pa, middle_Pa) < 0.0 < max(floor_Pa, middle_Pa):
        return interface_m * floor_Pa / (floor_Pa - middle_Pa)
    return height_m if soffit_Pa <= 0.0 else 0.0


@compiled
def layer_flow(
    width_m: float,
    height_m: float,
    interface_m: float,
    neutral_m: float,
    room_C: float,
    lower_C: float,
    upper_C: float,
    discharge: float,
) -> tuple[float, float, float]:
    """Inflow, outflow of the lower and of the upper layer, kg/s, for a given neutral height.

    Inside and outside pressures are equal at `neutral_m`. The integral over the height is exact. Inflow has
    the room's density, outflow that of its layer.
    """
    room, lower, upper = _density(room_C), _density(lower_C), _density(upper_C)
    floor_Pa = -GRAVITY_m_s2 * (room - lower) * min(neutral_m, interface_m)
    floor_Pa -= GRAVITY_m_s2 * (room - upper) * max(neutral_m - interface_m, 0.0)
    return _flows(width_m * discharge, height_m, interface_m, floor_Pa, room, lower, upper)


@compiled
def neutral_m(
    width_m: float,
    height_m: float,
    interface_m: float,
    room_C: float,
    lower_C: float,
    upper_C: float,
    fuel_kg_s: float,
    flue_kg_s: float,
    discharge: float,
) -> float:
    """Height where inside and outside pressures are equal when all flows balance, m.

    Inflow and fuel come in, outflow and flue leave. Where the whole opening draws in it is the soffit, where
    the whole opening lets out it is 0; with a lower layer colder than the room it is the upper of two.
    """
    room, lower, upper = _density(room_C), _density(lower_C), _density(upper_C)
    width = width_m * discharge
    floor_Pa = _floor_Pa(width, height_m, interface_m, room, lower, upper, fuel_kg_s, flue_kg_s)
    return _neutral(height_m, interface_m, floor_Pa, room, lower, upper)


@compiled
def plume_kg_s(convective_W: float, flame_length_m: float, height_m: float) -> float:
    """Air that a round fire has drawn in up to a height over its base, kg/s (Heskestad's plume).

    In proportion to the height up to the flame's tip, then as a plume from the virtual origin that lets the
    two meet at the tip. 0 below the base or without fire.
    """
    if height_m <= 0.0 or convective_W <= 0.0:
        return 0.0
    power_kW = convective_W / 1000
    if height_m <= flame_length_m:
        return FLAME_kg_kJ * power_kW * height_m / flame_length_m
    rise_m = height_m - flame_length_m + TIP_m * math.pow(power_kW, 0.4)
    return PLUME_kg_s * math.pow(power_kW, 1 / 3) * math.pow(rise_m, 5 / 3) + PLUME_kg_kJ * power_kW


@compiled
def two_layer_flow(
    width_m: float,
    height_m: float,
    room_C: float,
    lower_C: float,
    upper_C: float,
    convective_W: float,
    flame_length_m: float,
    burner_z_m: float,
    entrainment: float,
    fuel_kg_s: float,
    flue_kg_s: float,
    discharge: float,
) -> tuple[float, float, float, float, float, float]:
    """Steady interface and neutral height (m), inflow, both outflows and the plume's air (kg/s).

    The plume takes air from the lower layer, `entrainment` times that of a free round fire; fuel and plume
    feed the upper layer; the flue draws on it. The interface is where the upper layer neither grows nor
    shrinks; it is the soffit when the flue takes all the plume brings (the flue then draws the rest from
    below), also without fire or flue. Without buoyancy or flue a fire gets no air: interface and flows 0.
    With a layer colder than the room several interfaces can be steady: one of them comes back.
    """
    room, lower, upper = _density(room_C), _density(lower_C), _density(upper_C)
    width = width_m * discharge
    a, b = 0.0, height_m
    floor_Pa = _floor_Pa(width, height_m, b, room, lower, upper, fuel_kg_s, flue_kg_s)
    inflow, low, high = _flows(width, height_m, b, floor_Pa, room, lower, upper)
    plume = entrainment * plume_kg_s(convective_W, flame_length_m, b - burner_z_m)
    of_b = flue_kg_s - fuel_kg_s - plume
    if of_b >= 0.0:
        return b, _neutral(height_m, b, floor_Pa, room, lower, upper), inflow, low, high, plume
    floor_Pa = _floor_Pa(width, height_m, a, room, lower, upper, fuel_kg_s, flue_kg_s)
    inflow, low, high = _flows(width, height_m, a, floor_Pa, room, lower, upper)
    plume = entrainment * plume_kg_s(convective_W, flame_length_m, a - burner_z_m)
    of_a = inflow - plume
    if of_a <= 0.0:
        return a, _neutral(height_m, a, floor_Pa, room, lower, upper), inflow, low, high, plume
    x = a
    for step in range(STEPS):
        x = _between(a, of_a, b, of_b, step)
        floor_Pa = _floor_Pa(width, height_m, x, room, lower, upper, fuel_kg_s, flue_kg_s)
        inflow, low, high = _flows(width, height_m, x, floor_Pa, room, lower, upper)
        plume = entrainment * plume_kg_s(convective_W, flame_length_m, x - burner_z_m)
        of_x = high + flue_kg_s - fuel_kg_s - plume
        if abs(of_x) <= 10 * BALANCE * (inflow + fuel_kg_s + flue_kg_s) or 0.5 * (a + b) in (a, b):
            break
        a, of_a, b, of_b = _closer(a, of_a, b, of_b, x, of_x)
    return x, _neutral(height_m, x, floor_Pa, room, lower, upper), inflow, low, high, plume


@compiled
def flue_draught_kg_s(
    diameter_m: float, height_m: float, gas_C: float, room_C: float, loss: float = FLUE_LOSS
) -> float:
    """Gas that a round flue draws, kg/s: its buoyancy spent on `loss` velocity heads of the gas in it.

    0 when the gas is no warmer than the room.
    """
    room, gas = _density(room_C), _density(gas_C)
    area_m2 = math.pi / 4 * diameter_m * diameter_m
    return area_m2 * math.sqrt(2 * gas * max(room - gas, 0.0) * GRAVITY_m_s2 * height_m / loss)


@dataclass(frozen=True)
class MouthFlow:
    """Steady flow through an opening: heights above its floor in m, flows in kg/s."""

    interface_m: float
    neutral_m: float
    inflow_kg_s: float
    outflow_lower_kg_s: float
    outflow_upper_kg_s: float
    plume_kg_s: float


def mouth_flow(
    width_m: float,
    height_m: float,
    room_C: float,
    lower_C: float,
    upper_C: float,
    convective_W: float,
    flame_length_m: float,
    burner_z_m: float = 0.0,
    entrainment: float = 1.0,
    fuel_kg_s: float = 0.0,
    flue_kg_s: float = 0.0,
    discharge: float = DISCHARGE,
) -> MouthFlow:
    """`two_layer_flow` with its inputs checked.

    PhysicalRangeError for an opening outside 1 cm to 5 m, a room outside -30 to 60 C, a lower layer outside
    -30 to 1200 C, an upper layer colder than it or over 1500 C, convective heat over 1 MW, a flame longer
    than 10 m, or none to a fire, a burner over 3 m, entrainment over 5, fuel over 0.1 or flue over 5 kg/s,
    a discharge outside 0.3 to 1.

    >>> mouth_flow(0.5, 0.22, 20, 20, 20, 0.0, 0.0).inflow_kg_s
    0.0
    """
    require("width_m", width_m, "m", 0.01, 5)
    require("height_m", height_m, "m", 0.01, 5)
    require("room_C", room_C, "C", -30, 60)
    require("lower_C", lower_C, "C", -30, 1200)
    require("upper_C", upper_C, "C", lower_C, 1500)
    require("convective_W", convective_W, "W", 0, 1e6)
    require("flame_length_m", flame_length_m, "m", 1e-3 if convective_W > 0 else 0, 10)
    require("burner_z_m", burner_z_m, "m", 0, 3)
    require("entrainment", entrainment, "", 0, 5)
    require("fuel_kg_s", fuel_kg_s, "kg/s", 0, 0.1)
    require("flue_kg_s", flue_kg_s, "kg/s", 0, 5)
    require("discharge", discharge, "", 0.3, 1)
    geometry = (width_m, height_m, room_C, lower_C, upper_C)
    fire = (convective_W, flame_length_m, burner_z_m, entrainment, fuel_kg_s, flue_kg_s, discharge)
    # One machine code for all: a whole number handed over would compile a second one.
    return MouthFlow(*two_layer_flow(*map(float, geometry + fire)))


def mixed_flow_kg_s(
    width_m: float, height_m: float, gas_C: float, room_C: float, discharge: float = DISCHARGE
) -> float:
    """Air through an opening of an enclosure with one gas temperature, kg/s; PhysicalRangeError if colder.

    (2/3) C A sqrt(H) rho_a sqrt(2 g (1 - Ta/Tg) / (1 + (Tg/Ta)^(1/3))^3): Rockett, Combust. Sci. Technol. 12
    (1976) 165, and Emmons, SFPE Handbook (both from memory, not re-read).

    >>> round(mixed_flow_kg_s(1.0, 1.0, 800.0, 20.0), 2)
    0.52
    """
    require("room_C", room_C, "C", -30, 60)
    require("gas_C", gas_C, "C", room_C, 1500)
    room_K, gas_K = room_C + ZERO_C_K, gas_C + ZERO_C_K
    drive = 2 * GRAVITY_m_s2 * (1 - room_K / gas_K) / (1 + math.cbrt(gas_K / room_K)) ** 3
    return (
        2
        / 3
        * discharge
        * width_m
        * height_m
        * math.sqrt(height_m)
        * (AIR_kg_K_m3 / room_K)
        * math.sqrt(drive)
    )


def vent_limit_kg_s(area_m2: float, height_m: float) -> float:
    """The most air that an opening gives a fully burning enclosure, kg/s: 0.5 A sqrt(H).

    >>> round(vent_limit_kg_s(0.5 * 0.22, 0.22), 3)
    0.026
    """
    require("area_m2", area_m2, "m2", 0, 25)
    require("height_m", height_m, "m", 0, 5)
    return VENT_LIMIT_kg_s_m52 * area_m2 * math.sqrt(height_m)


def opening_radiation_W(
    area_m2: float, inside_C: float, room_C: float, emissivity: float = 1.0, view: float = 1.0
) -> float:
    """Net radiation out through an opening, W: e F A sigma (Ti^4 - Ta^4).

    `view` is the share of it that leaves a thick wall's hole. PhysicalRangeError for shares outside 0 to 1.
    """
    require("area_m2", area_m2, "m2", 0, 25)
    require("emissivity", emissivity, "", 0, 1)
    require("view", view, "", 0, 1)
    net_W_m2 = float(blackbody_W_m2(inside_C) - blackbody_W_m2(room_C))
    return emissivity * view * area_m2 * net_W_m2
