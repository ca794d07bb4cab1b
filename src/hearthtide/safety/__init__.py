"""Cautions in plain words. Rules and verdicts stand here once a house can choose a rule set."""

from hearthtide.safety.cautions import HOUSE_CAUTIONS, NO_RULES, allergen_words, cautions_for

__all__ = ["HOUSE_CAUTIONS", "NO_RULES", "allergen_words", "cautions_for"]
