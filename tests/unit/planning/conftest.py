"""The small house stands beside these tests; in this import mode its folder must be named."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
