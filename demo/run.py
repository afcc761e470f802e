"""The one command of the demo: find or make the environment, then tell the story of a season.

Any Python from 3.8 on can read this file; what the demo does is in demo/story.py.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

from demo.environment import ensure

if __name__ == "__main__":
    ensure(["server"], welcome=["phone"])
    from demo.story import main

    sys.exit(main(sys.argv[1:]))
