"""Warmledger: what a passive heating investment cost, what heat was not bought, what that is worth."""

__version__ = "0.1.0"
