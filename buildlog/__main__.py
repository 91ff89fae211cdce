"""``python -m buildlog``."""

from buildlog.cli import run

if __name__ == "__main__":
    run()
