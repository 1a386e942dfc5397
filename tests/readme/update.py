"""Rewrite the generated parts of the README: `python -m tests.readme.update`."""

from __future__ import annotations

from tests.readme.blocks import PICTURE, README, picture, rewritten

if __name__ == "__main__":
    PICTURE.write_text(picture(), encoding="utf-8", newline="\n")
    README.write_text(rewritten(), encoding="utf-8", newline="\n")
