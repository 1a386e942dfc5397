"""The house model: few masses and conductances, fitted to the log, run with and without the builds."""
