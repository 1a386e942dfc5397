"""`python -m ledger` is `warmledger`."""

from ledger.cli import main

if __name__ == "__main__":
    main()
