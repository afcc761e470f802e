"""The one command that checks everything: find or make the environment, then run the steps of tests/steps.py.

Any Python from 3.8 on can read this file; what a step is and does stands in tests/steps.py.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

from demo.environment import ensure

if __name__ == "__main__":
    ensure(["phone", "server", "test"])
    from tests.steps import main

    sys.exit(main(sys.argv[1:]))
