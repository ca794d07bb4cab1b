"""Which test files take longest: two workers that begin with them end together, else one ends alone.

Not one of tests/reference, whose order is that of docs/validation.md. How long each takes is in
docs/performance.md; the order among them need not be exact.
"""

from __future__ import annotations

from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
LONGEST = (
    "scenario/cli/test_heat_answers.py",
    "scenario/cli/test_fed_wood.py",
    "scenario/cli/test_any_oven_night.py",
    "scenario/cli/test_dish_bands.py",
    "browser/test_service_pages.py",
    "browser/test_live_night.py",
    "browser/test_tickets_by_taps.py",
    "browser/test_day_page.py",
    "browser/test_lots_by_labels.py",
    "scenario/cli/test_friday_rush.py",
    "unit/oven/test_answers.py",
    "scenario/cli/test_bad_input.py",
    "scenario/cli/test_dish_pictures.py",
    "scenario/cli/test_chill.py",
    "scenario/cli/test_brindlecote_night.py",
    "scenario/cli/test_rehearsals.py",
    "scenario/day/test_heatup_window.py",
    "scenario/cli/test_prep_reheat_orders.py",
    "scenario/cli/test_falling_heat.py",
    "property/day/test_any_chilling.py",
    "unit/day/test_falling_plan.py",
    "unit/day/test_falling_oven.py",
    "scenario/cli/test_quote_and_replan.py",
    "scenario/cli/test_labels_card_and_count.py",
    "scenario/cli/test_board_command.py",
    "scenario/cli/test_small_commands.py",
    "property/oven/test_any_shape.py",
    "scenario/cli/test_dish_table.py",
    "browser/test_looking_back.py",
    "unit/service/rehearsal/test_rehearsed_night.py",
    "unit/board/test_access.py",
    "property/board/test_any_request.py",
    "unit/food/test_probe.py",
    "scenario/cli/test_forty_at_once.py",
    "unit/service/test_playing.py",
    "scenario/planning/test_friday_without_a_turner.py",
)


def longest_first(items: list[pytest.Item]) -> None:
    """Puts the tests of these files before all others, whose order stays."""
    places = {TESTS / name: place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(item.path, len(LONGEST)))
