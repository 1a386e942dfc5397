"""Faults planted in logs: each moves the credited heat by no more than its range, or is named."""
