"""The console entry. Whoever stops the program while it is still being loaded sees no traceback either."""

import sys


def main() -> None:
    """Run the command ``saidscore``."""
    try:
        from extract.cli.app import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(130)


if __name__ == "__main__":
    main()
