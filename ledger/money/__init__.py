"""Energy and items to dated cash: flows, discounting, worth, loans, running cost by season."""
