"""`python -m stock.cli` is the command `reelward`."""

from stock.cli.main import run

if __name__ == "__main__":
    run()
