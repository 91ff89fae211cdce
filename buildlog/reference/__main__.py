"""Write the reference files anew: ``python -m buildlog.reference``."""

from buildlog.reference import FOLDER, pages

if __name__ == "__main__":
    for name, text in pages().items():
        (FOLDER / name).write_text(text, "utf-8", newline="\n")
