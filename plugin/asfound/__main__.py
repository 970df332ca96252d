"""`python -m asfound`."""

from asfound.cli import main

main()
