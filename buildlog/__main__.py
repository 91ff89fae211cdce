"""``python -m buildlog``."""

from buildlog.cli import main

if __name__ == "__main__":
    main()
