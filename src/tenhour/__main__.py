"""Run the command line: ``tenhour`` or ``python -m tenhour``."""

import sys

EXIT_STOPPED = 130
"""As after a signal to stop from the keyboard."""


def main() -> None:
    """Load the command line and run it; who stops it while it loads is told so in a line."""
    try:
        from tenhour.cli.quick import compile_when_called

        compile_when_called()
        from tenhour.cli.main import run
    except KeyboardInterrupt:
        sys.stderr.write("Stopped; nothing was changed.\n")
        sys.exit(EXIT_STOPPED)
    run()


if __name__ == "__main__":
    main()
