"""``python -m buildalong`` does the same as the command ``buildalong``."""

from buildalong.cli import main

if __name__ == "__main__":
    main()
