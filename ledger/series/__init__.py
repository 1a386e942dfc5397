"""Readings to one clean hourly record: one mask per fault, hourly means, cover."""
