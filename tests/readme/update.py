"""Rewrite the generated parts of the README: `python -m tests.readme.update`."""

from __future__ import annotations

from tests.readme.blocks import README, rewritten

if __name__ == "__main__":
    README.write_text(rewritten(), encoding="utf-8", newline="\n")
