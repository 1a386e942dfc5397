"""The demos' own scripts are imported from their folder, as they import each other."""

import sys
from pathlib import Path

DEMO = Path(__file__).parents[2] / "demo"
sys.path.insert(0, str(DEMO))
