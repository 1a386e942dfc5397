"""Hourly record and house to energy: envelope, dark hours, rungs, bare house, degree-days."""
