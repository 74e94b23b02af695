"""Run the command line with ``python -m tenhour``."""

from tenhour.cli.main import run

if __name__ == "__main__":
    run()
