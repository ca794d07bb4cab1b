"""Opening and closing checks: what is looked at, how, and the caution that belongs to it.

What is checked is trade teaching written down from memory; the seconds are common practice, no source: a
house that has clocked its own writes the check as a task. Passing a check is a person's word and a reading;
nothing here says that air, gas or food is safe.
"""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.house.prep_file import Check
from hearthtide.safety.cautions import GAS_CAUTION, HOUSE_CAUTIONS

CO_CAUTION, EMBERS_CAUTION = HOUSE_CAUTIONS[0], HOUSE_CAUTIONS[2]


@dataclass(frozen=True)
class ToCheck:
    """One check: what it is called, its seconds of hands, how it is done, its cautions."""

    name: str
    seconds: int
    words: str
    cautions: tuple[str, ...] = ()


CHECKS: dict[Check, ToCheck] = {
    "cold_units": ToCheck(
        "Cold units by air and by probe",
        600,
        "Read the air, then probe the warmest food in each; hold both against last night's. Write them down.",
        ("Over the limit: nothing of it is used before your local code and the person in charge decide.",),
    ),
    "thermometers": ToCheck(
        "Probe thermometers in ice slush and boiling water",
        420,
        "Ice slush well stirred reads 0 °C; water at a rolling boil what it boils at your height.",
        (
            "Boiling water and steam burn: pan on the bench, lid away from you, sleeve down.",
            "One that is off is taken out of use, and what it passed since its last good check is doubted.",
        ),
    ),
    "ir_gun": ToCheck(
        "IR gun against a contact probe on one stone",
        180,
        "Same stone, straight down, no flame or soot in the line; never on a platter.",
        ("The stone may still be hot from the night: long probe, covered arm.",),
    ),
    "flue": ToCheck(
        "Flue draws",
        120,
        "A strip of paper at the mouth leans inwards before anything is lit.",
        (CO_CAUTION, "It does not draw: light nothing, call a licensed sweep or fitter."),
    ),
    "extraction": ToCheck(
        "Extraction runs",
        60,
        "On before the fire, heard and felt at the hood; filters in, drip tray empty.",
        (CO_CAUTION,),
    ),
    "gas_valve": ToCheck(
        "Gas valve and pilot", 120, "Shut, open, pilot as the oven's instructions say.", (GAS_CAUTION,)
    ),
    "co_alarm": ToCheck(
        "Carbon monoxide alarm tested",
        60,
        "Its own test button, and the date on it.",
        (CO_CAUTION, "A test shows that it sounds, not what is in the air."),
    ),
    "ash_bin": ToCheck(
        "Ash bin cold and lidded",
        90,
        "Metal, lid on, outdoors, nothing that burns beside it.",
        ("Ash hides live coals for days: back of the hand first, never a bag.", EMBERS_CAUTION),
    ),
    "wood": ToCheck(
        "Wood dry, one day's in the room",
        180,
        "Clear of the oven and its loading door as your fire code has it; hose in reach.",
    ),
    "tools": ToCheck(
        "Peels, turning peel, brush, rake, grippers", 180, "All there, handles sound, brush not burnt."
    ),
    "platters": ToCheck(
        "Platters dry and stacked",
        120,
        "Wiped dry, none warped.",
        ("A wet platter spits when it meets heat.",),
    ),
    "burn_kit": ToCheck(
        "Burn kit and fire blanket", 60, "In reach of the mouth, seal whole, tap beside it runs cold."
    ),
    "coals_out": ToCheck(
        "Coals raked into the lidded metal bin",
        600,
        "Out of the oven, lid on, outdoors; extraction on until they have gone.",
        (EMBERS_CAUTION, "Heat at the mouth: face shield, long rake, nobody behind you."),
    ),
    "gas_shut": ToCheck("Gas shut", 60, "Valve shut, flame seen to be out.", (GAS_CAUTION,)),
    "count": ToCheck(
        "Count what is left", 600, "By lot into stock.csv; what is past its day onto the waste sheet."
    ),
    "chilled": ToCheck(
        "What chills is read and moved",
        420,
        "Probe the warmest part of each lot before it is left for the night; write it down.",
        ("Late at a limit, or no reading: your local code says whether to heat again or discard.",),
    ),
    "clean_down": ToCheck("Line and boards cleaned down", 1500, "Raw side last; cloths to the wash."),
}

FIRST: dict[Check, tuple[Check, ...]] = {
    "cold_units": ("thermometers",),
    "ir_gun": ("thermometers",),
    "flue": ("co_alarm", "extraction"),
    "gas_valve": ("co_alarm", "extraction", "flue"),
    "clean_down": ("gas_shut", "coals_out", "chilled"),
}
"""What is looked at before what, where a house does both; common practice, no source."""
