"""Results to rows, rows to screens and papers."""
