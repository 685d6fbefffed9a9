"""``python -m asfitted``."""

from asfitted.cli import main

main()
