"""The command line, as `python -m mplan`."""

import sys

from mplan.stopping import command

if __name__ == "__main__":
    sys.exit(command())
