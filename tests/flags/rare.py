"""Seeks a household of `test_oracle` that shows a rule: `python -m tests.flags.rare RULE`, for its `RARE`."""

import sys
from itertools import count

from tests.flags.test_oracle import shown_by


def main() -> None:
    wanted = sys.argv[1]
    print(next(seed for seed in count() if wanted in shown_by(seed)))


if __name__ == "__main__":
    main()
