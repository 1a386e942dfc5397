"""What the grower wrote, checked and frozen: SI units, every default filled in and listed in `Ledger.assumed`."""
