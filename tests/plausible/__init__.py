"""Doubts about what can be read: each fires once where it should and keeps still where it should not."""
