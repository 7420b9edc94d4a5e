"""`python -m softpedal.cli` is the same as `softpedal`."""

from softpedal.cli import main

main()
