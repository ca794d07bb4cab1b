"""Hearthtide: plans and verifies a night at a live-flame stone hearth oven, from physics."""

import logging

__version__ = "0.1.0"

logging.getLogger(__name__).addHandler(logging.NullHandler())
