"""Cautions in plain words. Rules and verdicts stand here once a house can choose a rule set."""

from hearthtide.safety.cautions import CHILL_CAUTIONS, HOUSE_CAUTIONS, NO_RULES, allergen_words, cautions_for

__all__ = ["CHILL_CAUTIONS", "HOUSE_CAUTIONS", "NO_RULES", "allergen_words", "cautions_for"]
