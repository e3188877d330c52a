"""``python -m server`` is the same as ``elbowroom``."""

import sys

from server.main import main

sys.exit(main())
