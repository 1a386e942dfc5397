"""Ranges carried through the whole chain; drivers; the verdict."""
