"""Lets the tests of this folder share `printed_plan`, however pytest imports them."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
