"""Disk to types: TOML with places for complaints, CSV of any make."""
